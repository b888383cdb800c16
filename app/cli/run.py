"""``counterpoise run``: the comparison table, JSON and CSV."""

from __future__ import annotations

from textwrap import wrap
from typing import TYPE_CHECKING

from app.cli.answers import Answer
from app.cli.cases import Case
from app.cli.document import headed
from app.cli.inputs import question
from model.editing.faults import ScenarioError
from model.engine.comparison import Comparison, simulate
from model.export.fingerprint import fingerprint
from model.export.outcome_data import as_data, minutes_table
from model.files.csv_table import csv_file
from model.results.wording import heading_at, letter
from model.scenario.cautions import PREDICTION
from model.support.figures import MINUS, NBSP, change
from model.verdict.headline import headline
from model.verdict.table import Row, Verdict, verdict

if TYPE_CHECKING:
    from model.advice.advice import Counsel

NAME_WIDTH = 26
LINE_WIDTH = 96


def run(
    case: Case, *, variant: str | None = None, is_brief: bool = False, with_minutes: bool = False
) -> Answer:
    """Compare the stations of a case; in brief without the advice, which is most of the work."""
    try:
        scenario, remarks = question(case, variant)
    except ScenarioError as error:
        return Answer(case, faults=tuple(str(fault) for fault in error.faults))
    comparison = simulate(scenario)
    advice = None if is_brief else _advice(comparison)
    return Answer(
        case,
        text=table_text(comparison, verdict(comparison), advice, variant),
        data=headed("run", case, scenario, {"variant": variant, **as_data(comparison, advice)}),
        minutes=csv_of(comparison) if with_minutes else "",
        remarks=remarks,
    )


def _advice(comparison: Comparison) -> Counsel:
    # What reruns say takes as long to load as to read a scenario: in brief it is not needed.
    from model.advice.advice import counsel

    return counsel(comparison)


def csv_of(comparison: Comparison) -> str:
    """Return every minute as CSV."""
    table = minutes_table(comparison)
    table["time"] = [at.isoformat() for at in table["time"]]
    columns = [table[name].tolist() for name in table.columns]
    return csv_file(list(table.columns), zip(*columns, strict=True))


def table_text(
    comparison: Comparison, found: Verdict, advice: Counsel | None, variant: str | None = None
) -> str:
    """Return headline, title, table, verdict, findings and caution as plain text."""
    scenario = comparison.scenario
    title = scenario.title or "Untitled"
    lead = headline(comparison)
    lines = [*wrap(lead.text, LINE_WIDTH), *wrap(lead.cause, LINE_WIDTH), ""]
    lines += [f"{title}: {variant}" if variant else title, _when(comparison)]
    lines += [f"Input {fingerprint(scenario)}", ""]
    lines += _table(comparison, found.rows)
    for sentence in (*found.sentences, *(advice.sentences if advice else ())):
        lines += ["", *wrap(sentence, LINE_WIDTH)]
    if comparison.findings:
        lines += ["", "Findings"]
        for finding in comparison.findings:
            remark = f"{finding.level}: {finding.path}: {finding.sentence} {finding.remedy}"
            lines += wrap(remark, LINE_WIDTH, initial_indent="  ", subsequent_indent="    ")
    lines += ["", *wrap(PREDICTION, LINE_WIDTH)]
    return "\n".join(line.rstrip() for line in lines) + "\n"


def _when(comparison: Comparison) -> str:
    clock, site = comparison.clock, comparison.scenario.site
    place = f"{site.name}, " if site.name else ""
    days = "1 day" if clock.days == 1 else f"{clock.days} days"
    return f"{place}{days} from {clock.start:%a %d %b %Y %H:%M} ({site.timezone})"


def _table(comparison: Comparison, rows: tuple[Row, ...]) -> list[str]:
    stations = range(len(comparison.runs))
    names = [heading_at(comparison.scenario, index) for index in stations]
    widths = [
        max(min(max(len(name), 12), NAME_WIDTH), *(len(row.texts[index]) for row in rows))
        for index, name in enumerate(names)
    ]
    head = "  ".join(
        _cut(name, width).rjust(width) for name, width in zip(names, widths, strict=True)
    )
    others = [f"{letter(index)} {MINUS}{NBSP}A" for index in stations][1:]
    label_width = max(len(_label(row)) for row in rows)
    lines = [" " * label_width + "  " + head + "".join(f"  {other:>10}" for other in others)]
    for row in rows:
        cells = "  ".join(text.rjust(width) for text, width in zip(row.texts, widths, strict=True))
        differences = "".join(f"  {_difference(row, d):>10}" for d in row.differences)
        lines.append(f"{_label(row):<{label_width}}  {cells}{differences}")
    return lines


def _label(row: Row) -> str:
    return f"{row.label}, {row.unit}" if row.unit and row.unit != "time" else row.label


def _difference(row: Row, difference: float | None) -> str:
    if difference is None:
        return ""
    if row.unit == "time":
        return change(difference)
    text = f"{difference:+.{row.decimals}f}"
    return text.replace("-", MINUS) if float(text) else text[1:]


def _cut(name: str, width: int) -> str:
    return name if len(name) <= width else name[: width - 1] + "…"
