"""All stations of a scenario on one side: verdict, table, charge, and what helps each."""

from __future__ import annotations

from collections.abc import Sequence
from functools import partial

from app.number_text import KG_PER_LB, MINUS, fixed
from app.printing.caution_texts import comparison_texts
from app.printing.head import scenario_head
from app.printing.marks import MM, STRONG, Page, Piece, beside, stacked
from app.printing.paper import Paper
from app.printing.plan_part import charge_plot
from app.printing.say import Cell, Say
from app.printing.section import PART_GAP, SECTION_GAP, Section
from app.printing.table import GAP, Column, table
from app.printing.type import line_height, line_of, paragraph, shortened
from app.printing.verdict_part import gain
from model.engine.comparison import Comparison
from model.export.kit_page import Kit
from model.results.wording import CLOCK_WORDS, letter
from model.station.transmit_path import highest_planned_w
from model.support.figures import change
from model.verdict.table import Row, verdict

PATTERNS: tuple[tuple[float, ...], ...] = ((), (7.0, 3.0), (1.5, 1.8), (9.0, 3.0, 1.5, 3.0))
GIVEN = ("rf_w", "power_db", "mass_kg", "boxes", "cables", "cost", "guess_share")
LABEL_WIDTH = 47.0 * MM
PLOT_HEIGHT = 40.0 * MM
RUNGS_SHOWN = 3
GAIN_WIDTH = 24.0 * MM
COLUMN_GAP = 4.0 * MM


def comparison_page(
    comparison: Comparison, kits: Sequence[Kit], say: Say, paper: Paper, footer: str
) -> Page:
    """Return the page that sets the stations of a scenario side by side."""
    width, scenario = paper.inner_width, comparison.scenario
    count = len(scenario.stations)
    name = "Comparison: " + " / ".join(kit.name for kit in kits)
    head = scenario_head(scenario, name, f"{count} stations", kits[0].fingerprint, say, width)
    sections = [
        Section(1, "Verdict", partial(_verdict, comparison, say)),
        Section(2, "Side by side", partial(_rows, comparison, kits, say)),
        Section(3, "State of charge, as planned", partial(_plot, kits, say)),
        Section(4, "What helps each most", partial(_measures, kits, say)),
        Section(5, "Cautions", _cautions),
    ]
    room = paper.inner_height - line_height() - 0.5 * MM
    dropped: list[str] = []
    while True:
        body = stacked(head, *(each.whole(width) for each in sections), gap=SECTION_GAP)
        if body.height <= room or len(sections) <= 3:
            break
        dropped.insert(0, sections.pop(-2).title.lower())
    text = f"Not here for lack of room: {', '.join(dropped)} · {footer}" if dropped else footer
    foot = line_of(shortened(text, width))
    marks = (
        *body.moved(paper.margin, paper.margin),
        *foot.moved(paper.margin, paper.height - paper.margin - foot.height),
    )
    return Page(paper.width, paper.height, name, marks)


def _verdict(comparison: Comparison, say: Say, width: float) -> list[Piece]:
    if say.variant == "class":
        asked = ("Which station ends first? When, and why? What would help it most?",)
        lines = [paragraph(text, width, STRONG) for text in asked]
        return [*lines, *(line_of("_" * 60) for _ in range(3))]
    first, *rest = verdict(comparison).sentences
    return [
        paragraph(first, width, STRONG, most=4),
        *(paragraph(text, width, most=3) for text in rest),
    ]


def _rows(comparison: Comparison, kits: Sequence[Kit], say: Say, width: float) -> list[Piece]:
    rows = verdict(comparison).rows
    two = len(kits) == 2
    names = [_lettered(kit) for kit in kits]
    head = ("", *names, f"Difference, B {MINUS} A") if two else ("", *names)
    step = (width - LABEL_WIDTH) / (len(head) - 1) - GAP
    columns = [Column(LABEL_WIDTH), *(Column(step, "right") for _ in head[1:])]
    cells: list[list[Cell]] = []
    for row in rows:
        if row.key in CLOCK_WORDS:
            cells += _clock_rows(row, kits, say, two=two)
        else:
            cells.append(_row(row, say, two=two))
    return [table(columns, cells, header=head, ruled=True, least_height=3.6 * MM)]


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


def _clock_rows(row: Row, kits: Sequence[Kit], say: Say, *, two: bool) -> list[list[Cell]]:
    """Return a clock under the planned, the clear and the overcast sky."""
    rows, name = [], row.key
    for sky, label in (("planned", row.label), ("clear", "– clear"), ("overcast", "– overcast")):
        cells: list[Cell] = [label]
        for kit in kits:
            under = getattr(kit.results, sky) if kit.results else None
            if under is None:
                cells.append("–")
                continue
            sends = highest_planned_w(kit.station, kit.scenario.plan) > 0
            text = say.until(
                getattr(under.clocks, name),
                applies=sends or name == "receive",
                about=under.is_guessed,
            )
            cells.append(say.guessed(text))
        apart = [_difference(row, 1.0) if sky == "planned" else ""] if two else []
        rows.append([*cells, *apart])
    return rows


def _plot(kits: Sequence[Kit], say: Say, width: float) -> list[Piece]:
    ran = [(kit, kit.results) for kit in kits if kit.results is not None]
    if not ran:
        return [paragraph("No station could be run.", width)]
    room = max(38.0 * MM, (width - 50.0 * MM) / len(ran) - 10.0 * MM)
    lines = tuple(
        (shortened(_lettered(kit), room), results.planned.fraction, PATTERNS[kit.index])
        for kit, results in ran
    )
    return [charge_plot(ran[0][1].run, lines, say, width, PLOT_HEIGHT)]


def _measures(kits: Sequence[Kit], say: Say, width: float) -> list[Piece]:
    """Return the best measures of each station, side by side in pairs."""
    half = (width - COLUMN_GAP) / 2
    parts = [_best(kit, say, half) for kit in kits]
    return [
        beside(*((number * (half + COLUMN_GAP), piece) for number, piece in enumerate(pair)))
        for pair in (parts[at : at + 2] for at in range(0, len(parts), 2))
    ]


def _best(kit: Kit, say: Say, width: float) -> Piece:
    name = line_of(shortened(_lettered(kit), width, STRONG), style=STRONG)
    if kit.results is None:
        return name
    rungs = kit.results.ladder.rungs[:RUNGS_SHOWN]
    rows: list[list[Cell]] = [
        [rung.words[:1].upper() + rung.words[1:],
         say.guessed("lasts" if rung.lasts else gain(rung.gained_h, lasts=False))]
        for rung in rungs
    ]  # fmt: skip
    columns = [Column(width - GAIN_WIDTH - GAP), Column(GAIN_WIDTH, "right")]
    return stacked(name, table(columns, rows) if rows else Piece(0.0), gap=PART_GAP)


def _cautions(width: float) -> list[Piece]:
    return [paragraph(" ".join(comparison_texts()), width)]
