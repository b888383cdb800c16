"""The page after a trip: what was predicted, what was read, and what was learned from it."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from app.printing.document import ensure_application
from app.printing.marks import HEADING, MM, STRONG, TITLE, Page, Piece, rule, stacked
from app.printing.paper import PAPERS, PaperName
from app.printing.plain_pages import plain_pages
from app.printing.say import Blank, Cell
from app.printing.table import Column, spread, table
from app.printing.type import line_of, paragraph
from model.engine.outcome import Clock
from model.engine.run import StationRun
from model.field.field_words import (
    QUANTITY_WORDS,
    event_sentence,
    explanation_sentences,
    outlook_sentences,
    outside_sentence,
    reading_day,
)
from model.field.log_check import UNITS, FieldCheck
from model.results.wording import CLOCK_WORDS, capital, end_moment, moment, why
from model.scenario.cautions import PREDICTION
from model.scenario.scenario import Scenario
from model.support.figures import amount, entered, percent, span

WRITING = 7.0 * MM
LINES_TO_WRITE = 4


def after_action_title(scenario: Scenario, index: int) -> str:
    """Return what the page is called."""
    return f"After the trip: {' '.join(scenario.stations[index].name.split()) or 'station'}"


def after_action_pages(
    scenario: Scenario, index: int, check: FieldCheck, *, paper: PaperName = "a4"
) -> list[Page]:
    """Return the pages of one station and its log, for a file, a printer or a preview."""
    ensure_application()
    sheet = PAPERS[paper]
    width, title = sheet.inner_width, after_action_title(scenario, index)
    pieces = [_head(scenario, check.predicted, title, width), *_sections(check, width)]
    return plain_pages(pieces, title, sheet)


def _head(scenario: Scenario, run: StationRun, title: str, width: float) -> Piece:
    plan = " ".join(scenario.title.split()) or "not named"
    place = " ".join(scenario.site.name.split()) or "place not named"
    when = f"{moment(run, run.clock.start)} to {end_moment(run)}, {run.clock.start:%Y-%m-%d}"
    return stacked(
        line_of(title, style=TITLE),
        paragraph(f"Plan: {plan} · {place} · {when}", width),
        paragraph(PREDICTION, width, STRONG),
        gap=0.8 * MM,
    )


def _sections(check: FieldCheck, width: float) -> Iterator[Piece]:
    yield _section("Predicted", _sentences(_predicted(check.predicted), width), width)
    yield _section("Measured", _readings(check, width), width)
    if check.found is not None:
        learned = _sentences(explanation_sentences(check), width)
        yield _section("Learned", learned, width)
        outlook = _sentences(outlook_sentences(check), width)
        yield _section("Rest of the trip, by these readings", outlook, width)
    if check.offers:
        lines = [offer.sentence for offer in check.offers]
        yield _section("Numbers to change for the next trip", _sentences(lines, width), width)
    yield _section("In your own words", _lines_to_write(width), width)


def _section(title: str, body: Sequence[Piece], width: float) -> Piece:
    heading = line_of(title, style=HEADING)
    top = Piece(heading.height + 14.0, (rule(0, 3.0, width, 6.0), *heading.moved(0, 12.0)))
    return stacked(top, *body, gap=0.6 * MM)


def _sentences(lines: Sequence[str], width: float) -> list[Piece]:
    return [paragraph(f"• {line}", width) for line in lines]


def _predicted(run: StationRun) -> list[str]:
    lines = []
    for name in ("full_power", "receive"):
        clock: Clock = getattr(run.clocks, name)
        what = capital(CLOCK_WORDS[name])
        if clock.until is None:
            lines.append(f"{what} to the end, {end_moment(run)}.")
        else:
            lines.append(f"{what} until {moment(run, clock.until, about=True)}: {why(run, clock)}.")
    lowest = f"{percent(run.lowest.value)} at {moment(run, run.lowest.at, about=True)}"
    lines.append(f"Lowest charge {lowest}; at the end {percent(run.end_fraction)}.")
    return lines


def _readings(check: FieldCheck, width: float) -> list[Piece]:
    run = check.predicted
    log = run.station.readings
    if not log:
        return [paragraph("Nothing was written down.", width, STRONG)]
    columns = [Column(each, lines=2) for each in spread(width, 4, 6, 3, 5, 3)]
    rows: list[list[Cell]] = []
    for reading in sorted(log, key=lambda each: (each.day, each.at)):
        at = f"{reading_day(run, reading)} {reading.at}"
        mine = [each for each in check.checks if each.reading == reading]
        for each in mine:
            unit = UNITS[each.quantity]
            band = span(each.low, each.high, unit)
            agrees = "agrees" if each.agrees else "differs"
            rows.append(
                [
                    at, capital(QUANTITY_WORDS[each.quantity]), entered(each.measured, unit),
                    f"{amount(each.expected, unit)} ({band})",
                    agrees if each.credit.believable else "tells nothing",
                ]
            )  # fmt: skip
        seen = [event_sentence(reading), reading.note]
        if reading in check.outside:
            seen.append(outside_sentence(run, reading))
        if words := " ".join(filter(None, seen)):
            rows.append([at, words, "", "", ""])
    head = ("When", "What", "Measured", "Predicted (95 of 100)", "")
    return [table(columns, rows, header=head, least_height=0.0)]


def _lines_to_write(width: float) -> list[Piece]:
    rows: list[list[Cell]] = [[Blank()] for _ in range(LINES_TO_WRITE)]
    signed = paragraph("Date ________________   Written by __________________________", width)
    return [table([Column(width)], rows, least_height=WRITING), signed]
