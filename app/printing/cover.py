"""The cover of several kits: which passes, by what rule, and when the first ends."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from app.printing.marks import MM, STRONG, TITLE, Page, Piece, box, stacked
from app.printing.paper import Paper
from app.printing.say import NONE, Cell, Say, pounds
from app.printing.section import SECTION_GAP
from app.printing.table import GAP, Column, table
from app.printing.type import line_height, line_of, paragraph, shortened
from app.widgets.number_text import fixed
from model.engine.run import StationRun
from model.export.kit_page import Kit
from model.results.wording import CLOCK_WORDS
from model.scenario.cautions import PREDICTION
from model.verdict.order import first_clock, is_guessed
from model.verdict.pass_fail import RULE, grade

ROW = 8.6 * MM
TICK = 8.0 * MM


def cover_pages(kits: Sequence[Kit], say: Say, paper: Paper) -> Iterator[Page]:
    """Yield the cover table, as many sides as the kits need."""
    width, top = paper.inner_width, _top(kits, paper.inner_width)
    room = paper.inner_height - line_height() - MM - top.height - SECTION_GAP
    a_side = int((room - 2 * line_height()) / ROW)
    sides = [kits[at : at + a_side] for at in range(0, len(kits), a_side)]
    for number, shown in enumerate(sides):
        listed = _table(shown, number * a_side, say, width)
        body = stacked(top, listed, gap=SECTION_GAP)
        count = f"side {number + 1} of {len(sides)} · " if len(sides) > 1 else ""
        foot = line_of(shortened(f"Counterpoise · {count}{len(kits)} kits", width))
        marks = (
            *body.moved(paper.margin, paper.margin),
            *foot.moved(paper.margin, paper.height - paper.margin - foot.height),
        )
        yield Page(paper.width, paper.height, "Kits", marks)


def _top(kits: Sequence[Kit], width: float) -> Piece:
    title = "1 kit" if len(kits) == 1 else f"{len(kits)} kits"
    return stacked(
        line_of(title, style=TITLE),
        paragraph(PREDICTION, width, STRONG),
        paragraph(f"The rule. {RULE}", width),
        gap=0.8 * MM,
    )


def _table(kits: Sequence[Kit], before: int, say: Say, width: float) -> Piece:
    rows = [_row(kit, before + number, say) for number, kit in enumerate(kits, start=1)]
    fixed_widths = [6.0, 0.0, 43.0, 31.0, 13.0, 13.0, 17.0, 8.0]
    widths = [each * MM for each in fixed_widths]
    widths[1] = width - sum(widths) - (len(widths) - 1) * GAP
    leans = ("right", "left", "left", "left", "right", "right", "left", "left")
    columns = [Column(each, lean, 2) for each, lean in zip(widths, leans, strict=True)]  # type: ignore[arg-type]
    head = ("", "Kit, plan", "Result", "First end", "kg", "lb", "Input", "OK")
    listed = table(columns, rows, header=head, least_height=ROW, ruled=True)
    first = listed.height - ROW * len(rows)
    boxes = [
        box(width - TICK, first + ROW * number + (ROW - TICK) / 2, TICK, TICK, "none", 6.0)
        for number in range(len(rows))
    ]
    return Piece(listed.height, (*listed.marks, *boxes))


def _row(kit: Kit, number: int, say: Say) -> list[Cell]:
    run = kit.results.run if kit.results else None
    graded = grade(run)
    result = "\n".join(text for text in (graded.outcome.upper(), graded.reason) if text)
    return [
        str(number),
        f"{kit.name}\n{_plan(kit)}",
        say.guessed(result),
        say.guessed(_first_end(run, say)),
        fixed(kit.load.mass_kg, 2),
        pounds(kit.load.mass_kg),
        kit.fingerprint,
        "",
    ]


def _first_end(run: StationRun | None, say: Say) -> str:
    if run is None:
        return NONE
    found = first_clock(run)
    if found is None or found[1].until is None:
        return "none as planned"
    name, clock = found
    until = say.until(clock, applies=True, about=is_guessed(run))
    return f"{CLOCK_WORDS[name].capitalize()} until\n{until}"


def _plan(kit: Kit) -> str:
    return " ".join(kit.scenario.title.split()) or "plan not named"
