"""The wiring table in full: every line with its leads, sizes, ratings and fuses."""

from __future__ import annotations

from app.printing.block_diagram import fuse_words
from app.printing.marks import MM, Piece
from app.printing.say import NONE, Cell, Say
from app.printing.table import GAP, Column, table_parts
from app.printing.type import paragraph
from model.export.kit_page import Kit
from model.export.wiring import Line
from model.scenario.station import Lead
from model.station.fuses import bears_a
from model.support.figures import amount as amount_text
from model.support.figures import entered

NUMBER, SIZE, LENGTH, JOINTS = 8 * MM, 17 * MM, 14 * MM, 13 * MM
CARRIES, RATED, FUSE = 14 * MM, 13 * MM, 27 * MM


def wiring_body(kit: Kit, say: Say, width: float) -> list[Piece]:
    """Return one row for each lead, and for each line that no lead is entered for."""
    rest = width - NUMBER - SIZE - LENGTH - JOINTS - CARRIES - RATED - FUSE - 8 * GAP
    name, ends = rest * 0.55, rest * 0.45
    columns = [
        Column(NUMBER), Column(name, lines=9), Column(ends, lines=3), Column(SIZE, "right"),
        Column(LENGTH, "right"), Column(JOINTS, "right"), Column(CARRIES, "right"),
        Column(RATED, "right"),
        Column(FUSE, "right", lines=2),
    ]  # fmt: skip
    head = ("No.", "Lead", "From, to", "Size", "One way", "Joints", "Most", "Rated", "Fuse")
    rows = sorted(
        (row for line in kit.wiring.lines if line.numbers for row in _rows(kit, line, say)),
        key=lambda pair: pair[0],
    )
    listed = table_parts(columns, [row for _, row in rows], head, ruled=True)
    return [*listed, paragraph(say.words(" ".join(_remarks(kit))), width)]


def _rows(kit: Kit, line: Line, say: Say) -> list[tuple[int, list[Cell]]]:
    ends = _ends(kit, line)
    carries = amount_text(line.carries_a, "A") if line.carries_a else NONE
    if not line.leads:
        name = " ".join(line.name.split())
        return [
            (line.numbers[0], [str(line.numbers[0]), f"{name}: not entered", ends, NONE, NONE, NONE,
                               carries, NONE, _fuse(line)])
        ]  # fmt: skip
    return [
        (number, [str(number), " ".join(lead.name.split()) or f"to {lead.feeds}", ends,
                  say.conductor(lead), say.quantity(lead.one_way_m, "m", 2),
                  entered(lead.joints_mohm, "mΩ"), carries,
                  _rated(lead), _fuse_of(lead, line)])
        for number, lead in zip(line.numbers, line.leads, strict=True)
    ]  # fmt: skip


def _ends(kit: Kit, line: Line) -> str:
    names = {box.key: box.name for box in kit.wiring.boxes}
    if line.source not in names or line.target not in names:
        return "no such part"
    return f"{names[line.source]} to {names[line.target]}"


def _rated(lead: Lead) -> str:
    found = bears_a(lead)
    return NONE if found is None else amount_text(found, "A")


def _fuse(line: Line) -> str:
    return fuse_words(line) if line.is_fused else NONE


def _fuse_of(lead: Lead, line: Line) -> str:
    if lead.fuse_a is not None:
        return entered(lead.fuse_a, "A") + ("!" if line.faults else "")
    # One fuse in a run of leads serves all of it.
    return NONE if line.fuse_a is not None else _fuse(line)


def _remarks(kit: Kit) -> list[str]:
    found = [f"! Lead {line.label}: {fault}." for line in kit.wiring.lines for fault in line.faults]
    fused = [line for line in kit.wiring.lines if line.is_fused and line.kind == "DC"]
    if any(line.fuse_a is None for line in fused):
        found.append("Fit: no fuse is entered, this one suits.")
    panel = kit.station.panel
    if panel is not None and panel.count > 2 and panel.wiring == "parallel":
        found.append("Three or more panels in parallel: a fuse for each.")
    found.append("Fuses stand at the battery or the distribution; local codes decide.")
    return found
