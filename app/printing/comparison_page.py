"""All stations of a scenario on one side: verdict, what decides as bars, table and charge."""

from __future__ import annotations

from collections.abc import Sequence
from functools import partial

from app.printing.caution_texts import comparison_texts
from app.printing.charge_part import charge_plot
from app.printing.flow import poured
from app.printing.foot import FOOT, Footer
from app.printing.marks import MM, STRONG, TITLE, Mark, Page, Piece, box, stacked
from app.printing.paper import Paper
from app.printing.say import NONE, Cell, Say, dates
from app.printing.section import SECTION_GAP, Section
from app.printing.table import GAP, Column, table
from app.printing.type import line_height, line_of, paragraph, width_of
from app.widgets.number_text import MINUS, fixed
from model.editing.units import KG_PER_LB
from model.engine.comparison import Comparison
from model.export.kit_page import Kit, bad_sky, page_odds
from model.odds.odds import Odds
from model.odds.sentences import head_words, odds_text, outlasts_words
from model.results.wording import CLOCK_WORDS, capital, letter
from model.scenario.cautions import PREDICTION
from model.sky.timeline import timeline
from model.station.transmit_path import highest_planned_w
from model.support.figures import change, percent
from model.verdict.table import Row, verdict

PATTERNS: tuple[tuple[float, ...], ...] = ((), (7.0, 3.0), (1.5, 1.8), (9.0, 3.0, 1.5, 3.0))
GIVEN = ("rf_w", "power_db", "mass_kg", "boxes", "cables", "cost", "guess_share")
LABEL_WIDTH = 47.0 * MM
# A lower plot rather than a second side.
PLOT_HEIGHTS = (40.0 * MM, 33.0 * MM, 26.0 * MM)
BAR_HEIGHT = 3.0 * MM
BAR_GAP = 1.2 * MM


def comparison_pages(
    comparison: Comparison,
    kits: Sequence[Kit],
    say: Say,
    paper: Paper,
    footer: Footer,
    told: Sequence[Section] = (),
) -> list[Page]:
    """Return the page that sets the stations of a scenario side by side; it may go on.

    What else is ``told`` stands before the cautions.
    """
    width = paper.inner_width
    name = "Comparison: " + " / ".join(kit.name for kit in kits)
    above = [
        Section("Verdict", partial(_verdict, comparison, say)),
        Section("What decides", partial(_bars, comparison, kits, say)),
        Section("Side by side", partial(_rows, comparison, kits, say)),
    ]
    below = [*told, Section("Cautions", partial(_cautions, say))]
    before, after = (
        [block for section in sections for block in section.blocks(width)]
        for sections in (above, below)
    )
    room = paper.inner_height - FOOT
    head = _head(comparison, kits, say, width)

    def bodies_with(plot_height: float) -> list[Piece]:
        plot = Section("State of charge, as planned", partial(_plot, kits, say, plot_height))
        blocks = [*before, *plot.blocks(width), *after]
        return poured(blocks, 1, 0.0, [room - head.height - SECTION_GAP, *[room] * len(blocks)])

    bodies = min(map(bodies_with, PLOT_HEIGHTS), key=len)
    bodies[0] = stacked(head, bodies[0], gap=SECTION_GAP)
    pages = []
    for number, body in enumerate(bodies, start=1):
        side = f"side {number} of {len(bodies)} · " if len(bodies) > 1 else ""
        marks = (*body.moved(paper.margin, paper.margin), *footer.marks(paper, side))
        pages.append(Page(paper.width, paper.height, name, marks))
    return pages


def _head(comparison: Comparison, kits: Sequence[Kit], say: Say, width: float) -> Piece:
    scenario = comparison.scenario
    kind = {"class": "COPY FOR GUESSING · ", "answers": "ANSWERS · "}.get(say.variant, "")
    title = " ".join(scenario.title.split()) or "Plan not named"
    place = " ".join(scenario.site.name.split()) or "Place not named"
    when = dates(timeline(scenario.site, scenario.day).start, scenario.day.days)
    return stacked(
        paragraph(f"Comparison: {title}", width, TITLE),
        paragraph(f"{kind}{len(kits)} stations · {place} · {when}", width),
        paragraph(PREDICTION, width, STRONG),
        gap=0.4 * MM,
    )


def _verdict(comparison: Comparison, say: Say, width: float) -> list[Piece]:
    if say.variant == "class":
        asked = ("Which station ends first? When, and why? What would help it most?",)
        lines = [paragraph(text, width, STRONG) for text in asked]
        return [*lines, *(line_of("_" * 60) for _ in range(3))]
    first, *rest = verdict(comparison).sentences
    count = len(comparison.runs)
    pairs = [(one, two) for one in range(count) for two in range(one + 1, count)]
    outlasts = [
        f"{capital(head_words(found))}: {' '.join(said)}"
        for found in page_odds(comparison).all
        if (said := [words for pair in pairs if (words := outlasts_words(found, *pair))])
    ]
    return [
        paragraph(say.words(first), width, STRONG),
        *(paragraph(say.words(text), width) for text in rest),
        *(paragraph(text, width) for text in outlasts),
    ]


Bar = tuple[str, float, str]


def _bars(comparison: Comparison, kits: Sequence[Kit], say: Say, width: float) -> list[Piece]:
    """Return a group of bars for each thing that decides, one bar for each station."""
    if say.variant == "class":
        return [paragraph("Left out to be guessed.", width)]
    bad = bad_sky(comparison.scenario)
    hours = 24.0 * comparison.scenario.day.days
    groups: list[tuple[str, list[Bar]]] = []
    for sky, title in (("planned", "On the air, planned sky"), ("bad", f"On the air, {bad}")):
        groups.append((title, [_on_air(kit, sky, hours, say) for kit in kits]))
    for found in page_odds(comparison).all:
        title = f"Receives to the end, {head_words(found)}"
        groups.append((title, [_odds_bar(kit, found) for kit in kits]))
    groups.append(("Lowest charge, planned sky", [_charge_bar(kit) for kit in kits]))
    heaviest = max([kit.load.mass_kg for kit in kits] + [1e-9])
    groups.append(
        ("Carried", [(letter(kit.index), kit.load.mass_kg / heaviest,
                      say.quantity(kit.load.mass_kg, "kg", 2)) for kit in kits])
    )  # fmt: skip
    texts = max(width_of(text) for _, bars in groups for _, _, text in bars)
    return [_group(title, bars, texts, width) for title, bars in groups]


def _on_air(kit: Kit, sky: str, hours: float, say: Say) -> Bar:
    under = getattr(kit.results, sky) if kit.results else None
    if under is None:
        return letter(kit.index), 0.0, "not calculated"
    clock = under.clocks.receive
    lasted = hours if clock.hours is None else clock.hours
    text = say.until(clock, applies=True, about=under.is_guessed)
    return letter(kit.index), lasted / hours, text


def _odds_bar(kit: Kit, trips: Odds) -> Bar:
    found = trips.stations[kit.index]
    if found is None:
        return letter(kit.index), 0.0, "not calculated"
    return letter(kit.index), found.receive.value, odds_text(found.receive)


def _charge_bar(kit: Kit) -> Bar:
    if kit.results is None:
        return letter(kit.index), 0.0, "not calculated"
    lowest = kit.results.planned.lowest_fraction
    return letter(kit.index), lowest, percent(lowest)


def _group(title: str, bars: Sequence[Bar], texts: float, width: float) -> Piece:
    label, number = 52.0 * MM, 5.0 * MM
    across = width - label - number - texts - 4.0 * MM
    pitch = max(BAR_HEIGHT + BAR_GAP, line_height())
    head = paragraph(title, label - 2.0 * MM, STRONG)
    marks: list[Mark] = [*head.marks]
    for at, (name, share, text) in enumerate(bars):
        y = at * pitch
        marks += line_of(name, label, STRONG).moved(0.0, y)
        top = y + (line_height() - BAR_HEIGHT) / 2
        x = label + number
        length = max(min(share, 1.0), 0.0) * across
        marks.append(box(x, top, across, BAR_HEIGHT, "none", 2.0))
        marks += [box(x, top, length, BAR_HEIGHT, "dark", 2.0)] if length > 0 else []
        marks += line_of(text, x + across + 2.0 * MM).moved(0.0, y)
    return Piece(max(pitch * len(bars), head.height) + 1.0 * MM, tuple(marks))


def _rows(comparison: Comparison, kits: Sequence[Kit], say: Say, width: float) -> list[Piece]:
    rows = verdict(comparison).rows
    two = len(kits) == 2
    names = [_lettered(kit) for kit in kits]
    head = ("", *names, f"Difference, B {MINUS} A") if two else ("", *names)
    step = (width - LABEL_WIDTH) / (len(head) - 1) - GAP
    columns = [Column(LABEL_WIDTH, lines=2), *(Column(step, "right", 6) for _ in head[1:])]
    cells: list[list[Cell]] = []
    for row in rows:
        if row.key in CLOCK_WORDS:
            cells += _clock_rows(row, comparison, kits, say, two=two)
        else:
            cells.append(_row(row, say, two=two))
    first, *others = cells
    pieces = [table(columns, [first], header=head, ruled=True)]
    return [*pieces, *(table(columns, [row], ruled=True) for row in others)]


def _lettered(kit: Kit) -> str:
    return f"{letter(kit.index)}: {' '.join(kit.name.split())}"


def _row(row: Row, say: Say, *, two: bool) -> list[Cell]:
    unit, factor = row.unit, 1.0
    if say.us and unit == "kg":
        unit, factor = "lb", 1 / KG_PER_LB
    label = f"{row.label}, {unit}" if unit and unit != "time" else row.label
    label = label[:1].upper() + label[1:]
    texts = [
        fixed(value * factor, row.decimals) if value is not None and unit != "time" else text
        for value, text in zip(row.values, row.texts, strict=True)
    ]
    if two:
        texts.append(_difference(row, factor))
    if row.key in GIVEN:
        return [label, *texts]
    return [label, *(say.guessed(text) for text in texts)]


def _difference(row: Row, factor: float) -> str:
    gap = row.differences[0]
    if gap is None:
        return ""
    if row.unit == "time":
        return change(gap)
    text = fixed(gap * factor, row.decimals)
    return f"+{text}" if gap > 0 and text.strip("0.") else text


def _clock_rows(
    row: Row, comparison: Comparison, kits: Sequence[Kit], say: Say, *, two: bool
) -> list[list[Cell]]:
    """Return a clock under the planned and the bad sky."""
    rows, name = [], row.key
    bad = f"{row.label}, {bad_sky(comparison.scenario)}"
    for sky, label in (("planned", row.label), ("bad", bad)):
        cells: list[Cell] = [label]
        for kit in kits:
            under = getattr(kit.results, sky) if kit.results else None
            if under is None:
                cells.append(NONE)
                continue
            sends = highest_planned_w(kit.station, kit.scenario.plan) > 0
            text = say.until(
                getattr(under.clocks, name),
                applies=sends or name == "receive",
                about=under.is_guessed,
            )
            cells.append(say.guessed(text))
        apart: list[Cell] = []
        if two:
            apart = [say.guessed(_difference(row, 1.0)) if sky == "planned" else ""]
        rows.append([*cells, *apart])
    return rows


def _plot(kits: Sequence[Kit], say: Say, height: float, width: float) -> list[Piece]:
    ran = [(kit, kit.results) for kit in kits if kit.results is not None]
    if not ran:
        return [paragraph("No station could be run.", width)]
    lines = tuple(
        (letter(kit.index), results.planned.fraction, PATTERNS[kit.index]) for kit, results in ran
    )
    return [charge_plot(ran[0][1].run, lines, say, width, height)]


def _cautions(say: Say, width: float) -> list[Piece]:
    return [paragraph(say.words(" ".join(comparison_texts())), width)]
