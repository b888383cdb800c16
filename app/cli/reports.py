"""``counterpoise reports``: what one's own reception reports say of a station's powers."""

from __future__ import annotations

import json
from collections.abc import Sequence
from textwrap import wrap

from app.cli.cases import Case
from app.cli.inputs import question, tell_faults
from app.cli.outputs import RefusedOutputError, tell, write_text
from app.cli.run import LINE_WIDTH
from model.editing.faults import Fault, ScenarioError
from model.engine.comparison import simulate
from model.export.reception_data import TABLE_HEADS, as_data, table_rows
from model.files.csv_table import csv_file
from model.reception.sentences import (
    cell_heading,
    cell_sentences,
    meaning_sentences,
    missing_sentences,
    price_sentence,
)
from model.reception.station_answers import CellAnswers, StationAnswers, station_answers
from model.reception.table_reading import read_reports
from model.results.wording import heading_at
from model.scenario.cautions import PREDICTION
from model.support.figures import entered


def reports(
    file: str,
    scenario_file: str,
    station: int,
    *,
    json_out: str | None,
    csv_out: str | None,
    columns: Sequence[str] = (),
    typed: Sequence[str] = (),
) -> int:
    """Say what a table of reports answers; print it unless standard output is taken.

    Returns the exit code.
    """
    if file == scenario_file == "-":
        raise RefusedOutputError("standard input cannot hold both the table and the scenario")
    try:
        scenario, remarks = question(Case(scenario_file, typed=tuple(typed)))
        count = len(scenario.stations)
        if not 1 <= station <= count:
            tell(f"--station: {scenario_file} has stations 1 to {count}, got {station}")
            return 2
        read_in = read_reports(file, scenario.site.timezone, _chosen(columns))
    except ScenarioError as error:
        return tell_faults(error)
    for remark in remarks:
        tell(remark)
    found = station_answers(read_in, simulate(scenario), station - 1)
    if json_out is not None:
        text = json.dumps(as_data(found), indent=2, ensure_ascii=False, allow_nan=False)
        write_text(text + "\n", json_out)
    if csv_out is not None:
        write_text(csv_file(TABLE_HEADS, table_rows(found)), csv_out)
    if "-" not in (json_out, csv_out):
        write_text(reports_text(found), "-")
    return 0


def _chosen(columns: Sequence[str]) -> dict[str, str]:
    chosen = {}
    for given in columns:
        key, sign, heading = given.partition("=")
        if not sign or not heading:
            raise ScenarioError((Fault("", f"--column: must read like time=WHEN, got {given!r}"),))
        chosen[key.strip()] = heading
    return chosen


def reports_text(found: StationAnswers) -> str:
    """Return the powers, each band and hour, the amplifier's price, and what a share means."""
    powers = [entered(watts, "W") for watts in found.powers_w]
    given = f"{powers[0]} alone, {powers[1]} with the amplifier" if powers[1:] else powers[0]
    lines = [f"{heading_at(found.scenario, found.index)}: {given}"]
    for one in found.cells:
        lines += ["", *_cell_lines(one)]
    missing = missing_sentences(found)
    lines += [""] * bool(missing)
    for words in missing:
        lines += wrap(words, LINE_WIDTH, subsequent_indent="  ")
    lines += ["", *wrap(price_sentence(found), LINE_WIDTH), ""]
    for words in (*meaning_sentences(found.cells), PREDICTION):
        lines += wrap(words, LINE_WIDTH)
    return "\n".join(line.rstrip() for line in lines) + "\n"


def _cell_lines(one: CellAnswers) -> list[str]:
    lines = [cell_heading(one)]
    for sentence in cell_sentences(one):
        lines += wrap(sentence, LINE_WIDTH, initial_indent="  ", subsequent_indent="    ")
    return lines
