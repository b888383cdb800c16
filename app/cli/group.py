"""``counterpoise group`` and ``group drill``: the posts of a group, and what is left of them."""

from __future__ import annotations

import json
from collections.abc import Iterable, Iterator, Sequence
from textwrap import wrap
from typing import Any, Literal

from app.cli.group_pdf import write_set
from app.cli.inputs import tell_faults
from app.cli.outputs import tell, write_text
from app.cli.run import LINE_WIDTH
from model.editing.faults import ScenarioError
from model.export.group_data import TABLE_HEADS, drill_data, group_data, group_mark, table_rows
from model.files.csv_table import csv_file
from model.group.drill import Drill
from model.group.drill import drill as run_drill
from model.group.group_file import read_group
from model.group.group_run import GroupResult, run_group
from model.group.group_words import (
    HEADS,
    ODDS_MEAN,
    ORDER_MEANS,
    cells_of,
    drill_words,
    hours_text,
    net_words,
    reserve_words,
    spares_words,
)
from model.group.kits import LoadedGroup, kits_of
from model.group.power_matrix import HOURS_MEAN, SWAP_WORDS, PowerCell, power_matrix
from model.group.shared_odds import GroupOdds, group_odds, with_odds
from model.group.single_points import SharedPoint, shared_points
from model.group.spares import Allotment, allot_spares
from model.results.wording import listed
from model.scenario.cautions import PREDICTION
from model.support.version import DOCUMENT_FORMAT, VERSION


def group(
    file: str,
    *,
    skies: int,
    is_brief: bool,
    json_out: str | None,
    csv_out: str | None,
    pdf_out: str | None = None,
    paper: Literal["a4", "letter"] = "a4",
    units: Literal["metric", "us"] = "metric",
) -> int:
    """Run a group; print it unless standard output is taken. Returns the exit code."""
    try:
        whole = read_group(file)
    except ScenarioError as error:
        return _faults(error)
    result = run_group(whole)
    odds = None if is_brief else group_odds(result, skies)
    if odds is not None:
        result = with_odds(result, odds)
    spares, points = allot_spares(result), shared_points(whole)
    power = power_matrix(whole.group, kits_of(whole))
    data = group_data(result, spares, power, points, odds)
    text = group_text(result, spares, power, points, odds)
    if pdf_out is not None:
        failed = write_set(result, spares, power, points, odds, pdf_out, paper=paper, units=units)
        if failed:
            return failed
    shown = "" if pdf_out == "-" else text
    return _give(result, "group", file, data, shown, json_out, csv_out)


def drill(file: str, without: Sequence[str], *, json_out: str | None, csv_out: str | None) -> int:
    """Run what is left of a group; print it unless standard output is taken."""
    try:
        found = run_drill(read_group(file), without)
    except ScenarioError as error:
        return _faults(error)
    data, text = drill_data(found), drill_text(found)
    return _give(found.result, "drill", file, data, text, json_out, csv_out)


def _faults(error: ScenarioError) -> int:
    if all(fault.line is None for fault in error.faults):
        return tell_faults(error)
    for fault in error.faults:
        tell(fault.at_line)
    return 2


def _give(
    result: GroupResult,
    kind: str,
    file: str,
    data: dict[str, Any],
    text: str,
    json_out: str | None,
    csv_out: str | None,
) -> int:
    if json_out is not None:
        whole = {**_head(result.whole, kind, file), **data}
        written = json.dumps(whole, indent=2, ensure_ascii=False, allow_nan=False)
        write_text(written + "\n", json_out)
    if csv_out is not None:
        write_text(csv_file(TABLE_HEADS, table_rows(result)), csv_out)
    if text and "-" not in (json_out, csv_out):
        write_text(text, "-")
    return 0


def _head(whole: LoadedGroup, kind: str, file: str) -> dict[str, Any]:
    return {
        "kind": kind,
        "format": DOCUMENT_FORMAT,
        "program": VERSION,
        "file": file,
        "input_mark": group_mark(whole),
    }


def group_text(
    result: GroupResult,
    spares: Allotment,
    power: tuple[tuple[PowerCell, ...], ...],
    points: tuple[SharedPoint, ...],
    odds: GroupOdds | None,
) -> str:
    """Return title, a row for each post, net, spares, who powers whom, what is shared, caution."""
    lines = [result.whole.group.title or "Untitled", "", *_table(result)]
    low = reserve_words(result)
    if low:
        lines += ["", *_wrapped([low])]
    if odds is not None:
        lines += ["", *_wrapped([net_words(result, odds), ODDS_MEAN])]
    lines += ["", "Spares", *_indented(spares_words(result, spares)), *_indented([ORDER_MEANS])]
    lines += ["", f"Who can power whom. {SWAP_WORDS}"]
    lines += _indented([HOURS_MEAN])
    lines += _indented(line for row in power for line in _power_lines(row))
    if points:
        lines += ["", "What several posts rest on", *_indented(each.words for each in points)]
    return _closed(lines)


def drill_text(found: Drill) -> str:
    """Return what a drill comes to, over the posts that are left."""
    lines = [found.result.whole.group.title or "Untitled", *_wrapped(drill_words(found)), ""]
    lines += _table(found.result)
    lines += ["", "Spares", *_indented(spares_words(found.result, found.spares))]
    return _closed(lines)


def _closed(lines: list[str]) -> str:
    lines = [*lines, "", *wrap(PREDICTION, LINE_WIDTH)]
    return "\n".join(line.rstrip() for line in lines) + "\n"


def _table(result: GroupResult) -> Iterator[str]:
    """Yield the rows; columns in which nothing stands are left out."""
    rows = [HEADS, *(cells_of(row) for row in result.posts)]
    kept = [column for column in range(len(HEADS)) if any(row[column] for row in rows[1:])]
    widths = {column: max(len(row[column]) for row in rows) for column in kept}
    for row in rows:
        yield "  ".join(f"{row[column]:<{widths[column]}}" for column in kept)


def _power_lines(row: tuple[PowerCell, ...]) -> Iterator[str]:
    """Yield whom one battery powers and for how long, and for which reasons not the others."""
    others = [cell for cell in row if not cell.is_own]
    if not others:
        return
    able = [f"{cell.kit} ({hours_text(cell.hours_h)})" for cell in others if cell.can_power]
    refused: dict[str, list[str]] = {}
    for cell in others:
        if not cell.can_power:
            refused.setdefault(cell.refusals[0].words, []).append(cell.kit)
    yield f"{others[0].lender}: {listed(able) if able else 'none'}."
    noted: dict[str, list[str]] = {}
    for cell in others:
        if cell.notes:
            noted.setdefault("; ".join(cell.notes), []).append(cell.kit)
    for words, kits in noted.items():
        yield f"  look first, on {listed(kits)}: {words}."
    for words, kits in refused.items():
        yield f"  not {listed(kits)}: {words}."


def _wrapped(sentences: Iterable[str]) -> list[str]:
    return [line for words in sentences for line in wrap(words, LINE_WIDTH)]


def _indented(sentences: Iterable[str]) -> list[str]:
    found: list[str] = []
    for words in sentences:
        deeper = "  " * words.startswith("  ")
        found += wrap(
            words.strip(), LINE_WIDTH, initial_indent=f"  {deeper}",
            subsequent_indent=f"    {deeper}",
        )  # fmt: skip
    return found
