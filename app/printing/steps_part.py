"""Set up, pack up, what to look at, and the lines to sign: what is ticked and done by hand."""

from __future__ import annotations

from app.printing.marks import FRONT, MM, Mark, Piece, Style, box, rule
from app.printing.say import Say
from app.printing.type import line_height, line_of, rich, width_of
from model.export.kit_page import Kit
from model.export.set_up import THUNDER, Step, Words

TICK = 8.0 * MM
STEP_GAP = 0.3 * MM
TEXT_AT = TICK + 1.6 * MM
SIGN = 7.5 * MM


def set_up_body(kit: Kit, say: Say, width: float) -> list[Piece]:
    """Return the steps with a box to tick before each."""
    return [_ticked(step, say, width) for step in kit.set_up]


def _ticked(step: Step, say: Say, width: float) -> Piece:
    words = rich([say.words(each) for each in step.words], width - TEXT_AT, FRONT)
    height = max(TICK, words.height)
    top = (height - words.height) / 2
    marks = (box(0.0, 0.0, TICK, TICK, "none", 7.0), *words.moved(TEXT_AT, top))
    return Piece(height + STEP_GAP, marks)


def pack_up_body(kit: Kit, style: Style, width: float) -> list[Piece]:
    """Return the steps in one run of words, in their order."""
    words: list[str] = []
    for number, step in enumerate(kit.pack_up):
        lead = " · " if number else ""
        words += [lead + step.words[0], *step.words[1:]]
        if len(words) % 2:
            words.append("")
    words += [". ", THUNDER]
    return [rich(_capital(tuple(words)), width, style)]


def _capital(words: Words) -> Words:
    return (words[0][:1].upper() + words[0][1:], *words[1:])


def remedies_body(kit: Kit, say: Say, width: float) -> list[Piece]:
    """Return what to look at, some lines for each thing that does not work."""
    return [_remedy(each.what, say.words(each.words), width) for each in kit.remedies]


def _remedy(what: str, words: str, width: float) -> Piece:
    text = rich(("", f"{what}: ", words), width, FRONT)
    height = text.height + 0.6 * MM
    return Piece(height, (*text.marks, rule(0.0, height, width, 2.0)))


def sign_body(style: Style, width: float) -> list[Piece]:
    """Return the lines to sign."""
    marks: list[Mark] = []
    half = (width - 3.0 * MM) / 2
    for at, name in enumerate(("Packed", "Checked")):
        x = at * (half + 3.0 * MM)
        marks += line_of(name, x, style).moved(0.0, SIGN - line_height(style))
        begin = x + width_of(name, style) + MM
        marks.append(rule(begin, SIGN - 6.0, x + half - begin))
    return [Piece(SIGN, tuple(marks))]
