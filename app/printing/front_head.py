"""The head of a kit page's front: which kit, where and when, who; then the dangers."""

from __future__ import annotations

from app.printing.caution_texts import danger_texts
from app.printing.marks import BODY, FRONT, MM, TITLE, Mark, Piece, Style, box, rule, stacked
from app.printing.say import Say, brief_dates
from app.printing.type import line_height, line_of, paragraph, rich, shortened, width_of
from model.export.kit_page import Kit
from model.results.wording import letter
from model.sky.timeline import timeline

BLANKS_HEIGHT = 6.4 * MM
# What is filled in by hand unless it is known, and how its line shares the width.
BLANKS = (
    (("Role", 2.0), ("Call sign", 2.0), ("Licensed operator", 3.0)),
    (("Net control", 2.0), ("on", 1.2), ("In an emergency call", 3.0)),
)


def front_head(kit: Kit, say: Say, width: float) -> Piece:
    """Return name, place and dates, and the blanks for people and frequencies."""
    first = side_title(kit, "front: operate", say, width, TITLE)
    return stacked(first, paragraph(_place(kit), width, FRONT), *_blanks(say, width), gap=0.3 * MM)


def side_title(kit: Kit, side: str, say: Say, width: float, style: Style) -> Piece:
    """Return the line on top of a side: which station it is of, and which side."""
    count = len(kit.scenario.stations)
    where = f"station {letter(kit.index)} of {count}" if count > 1 else "one station"
    kind = {"class": "COPY FOR GUESSING · ", "answers": "ANSWERS · "}.get(say.variant, "")
    right = f"{kind}{side} · {where}"
    name = f"{letter(kit.index)}  {kit.name}" if count > 1 else kit.name
    small = FRONT if style.points > FRONT.points else BODY
    room = width - width_of(right, small) - 4.0 * MM
    title = paragraph(" ".join(name.split()), room, style)
    return Piece(title.height, (*title.marks, *line_of(right, right=width, style=small).marks))


def _place(kit: Kit) -> str:
    scenario = kit.scenario
    place = " ".join(scenario.site.name.split()) or "Place not named"
    when = brief_dates(timeline(scenario.site, scenario.day).start, scenario.day.days)
    return f"{place} · {when}"


def _blanks(say: Say, width: float) -> list[Piece]:
    rows, filled = [], dict(say.filled)
    for row in BLANKS:
        words = sum(width_of(name, FRONT) + 3.0 * MM for name, _ in row)
        share = (width - words) / sum(part for _, part in row)
        x, marks = 0.0, list[Mark]()
        for name, part in row:
            marks += line_of(name, x, FRONT).moved(0.0, BLANKS_HEIGHT - line_height(FRONT))
            x += width_of(name, FRONT) + 1.0 * MM
            marks.append(rule(x, BLANKS_HEIGHT - 6.0, share * part))
            known = shortened(filled.get(name, ""), share * part, FRONT)
            marks += line_of(known, x, FRONT).moved(0.0, BLANKS_HEIGHT - line_height(FRONT))
            x += share * part + 2.0 * MM
        rows.append(Piece(BLANKS_HEIGHT, tuple(marks)))
    return rows


def dangers(kit: Kit, say: Say, width: float) -> Piece:
    """Return what may kill or spoil the battery, in a frame."""
    words = ("", "Danger. ", " ".join(danger_texts(kit, say)))
    inner = rich(words, width - 4.0 * MM, FRONT)
    height = inner.height + 2.0 * MM
    return Piece(height, (box(0.0, 0.0, width, height, "none", 9.0), *inner.moved(2 * MM, MM)))
