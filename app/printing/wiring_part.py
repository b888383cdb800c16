"""Wiring, fuses, polarity and the order in which things are connected."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from app.number_text import fixed
from app.printing.marks import MM, STRONG, Area, Mark, Piece, Stroke, box, stacked
from app.printing.say import NONE, Cell, Say
from app.printing.table import GAP, Column, table
from app.printing.type import line_height, line_of, paragraph, width_of
from model.export.kit_page import Kit
from model.scenario.cautions import NO_CONTROLLER
from model.scenario.station import Lead, Station
from model.station.fuses import FuseAdvice, advise
from model.support.figures import NBSP

LEADS_EACH = 8
REMARK_LINES = 7


@dataclass(frozen=True)
class WireRow:
    """Leads that share a line: what they are called, what is given of them, and their fuse."""

    name: str
    leads: tuple[Lead, ...]
    advice: tuple[FuseAdvice, ...]


def wiring_body(kit: Kit, say: Say, width: float) -> list[Piece]:
    """Return the leads with their fuses, volts at the radio, and the polarity drawing."""
    rows = wire_rows(kit)
    none = "No leads are entered. Fuse both leads at the battery."
    parts = [_leads(rows, say, width) if rows else paragraph(none, width)]
    remarks = " ".join(_remarks(rows))
    if remarks:
        parts.append(paragraph(remarks, width, most=REMARK_LINES))
    parts.append(paragraph(_volts(kit, say), width))
    parts.append(polarity(width))
    return parts


def wire_rows(kit: Kit) -> list[WireRow]:
    """Return one row for each lead, or for all to one end where there are too many."""
    leads = kit.station.leads
    advice = advise(kit.station, kit.scenario.plan)
    pairs = list(zip(leads, advice, strict=True))
    if len(leads) <= LEADS_EACH:
        return [
            WireRow(" ".join(lead.name.split()) or f"to {lead.feeds}", (lead,), (given,))
            for lead, given in pairs
        ]
    rows = []
    for end in ("battery", "radio", "amplifier", "panel"):
        mine = [(lead, given) for lead, given in pairs if lead.feeds == end]
        if mine:
            name = f"{len(mine)} to {end}"
            rows.append(
                WireRow(name, tuple(lead for lead, _ in mine), tuple(given for _, given in mine))
            )
    return rows


def _leads(rows: Sequence[WireRow], say: Say, width: float) -> Piece:
    cells: list[list[Cell]] = [
        [
            row.name,
            f"{_sizes(row.leads, say)}, {_length(row.leads, say)}",
            fuse_words(row),
        ]
        for row in rows
    ]
    size, fuse = 24.5 * MM, 9.5 * MM
    name = width - size - fuse - 2 * GAP
    columns = [Column(name), Column(size, "right"), Column(fuse, "right")]
    head = ("Lead", "Size, one way", "Fuse")
    return table(columns, cells, header=head)


def _length(leads: Sequence[Lead], say: Say) -> str:
    return say.quantity(sum(lead.one_way_m for lead in leads), "m", 1)


def _sizes(leads: Sequence[Lead], say: Say) -> str:
    sizes = list(dict.fromkeys(say.conductor(lead) for lead in leads))
    return sizes[0] if len(sizes) == 1 else "mixed"


def fuse_words(row: WireRow) -> str:
    """Return the fuses of a row; a panel's lead needs none of its own."""
    fuses = sorted({lead.fuse_a for lead in row.leads if lead.fuse_a is not None})
    if fuses:
        return "/".join(f"{fuse:g}" for fuse in fuses[:2]) + " A"
    return NONE if row.leads[0].feeds == "panel" else "none!"


def _remarks(rows: Sequence[WireRow]) -> list[str]:
    """Return what is wrong with fuses, one sentence for each line of the table at most."""
    remarks = []
    for row in rows:
        faults = [
            (lead, given) for lead, given in zip(row.leads, row.advice, strict=True) if given.fault
        ]
        if faults:
            remarks.append(f"! {_short(row.name)}: {faults[0][1].fault}.")
        elif fuse_words(row) == "none!":
            given = row.advice[0]
            fit = f"fit {given.fuse_a:g}{NBSP}A" if given.fuse_a else "no standard fuse fits it"
            remarks.append(f"! {_short(row.name)}: no fuse entered; {fit}.")
    return remarks


def _short(name: str) -> str:
    return name if len(name) <= 24 else name[:23].rstrip() + "…"


def _volts(kit: Kit, say: Say) -> str:
    results = kit.results
    volts = results.run.transmit_volts if results else None
    least = kit.station.radio.supply_min_v
    need = f" Minimum voltage for full power: {fixed(least, 1)}{NBSP}V." if least else ""
    if volts is None or volts.first is None or volts.lowest is None or volts.at is None:
        return "No transmission planned: no key-down voltage." + need
    if say.variant == "class":
        return f"Radio, key down, lowest: guess ________ V.{need}"
    return (
        f"Radio, key down: {fixed(volts.first, 2)}{NBSP}V at first, {fixed(volts.lowest, 2)}{NBSP}V"
        " at"
        f" the lowest, {say.at(volts.at)}.{need}"
    )


def polarity(width: float) -> Piece:
    """Return battery, two fuses and radio, with plus and minus named at both ends."""
    height = 11.0 * MM
    device, room = 19.0 * MM, width
    far = room - device
    top, low = 2.2 * MM, 8.8 * MM
    marks: list[Mark] = [
        box(0.0, 0.0, device, height, "none", 7.0), box(far, 0.0, device, height, "none", 7.0),
    ]  # fmt: skip
    for y, sign, pattern in ((top, "+", ()), (low, "−", (6.0, 3.0))):
        marks += _leg(y, device, far, pattern)
        marks += line_of(sign, device - 3.4 * MM, STRONG).moved(0.0, y - line_height() / 2)
        marks += line_of(sign, far + 1.4 * MM, STRONG).moved(0.0, y - line_height() / 2)
    for x, name in ((1.2 * MM, "Battery"), (far + 5.0 * MM, "Radio")):
        marks += line_of(name, x, STRONG).moved(0.0, height / 2 - line_height() / 2)
    words = "fuse both leads"
    if width_of(words) < far - device - 2 * MM:
        middle = (device + far - width_of(words)) / 2
        marks += line_of(words, middle).moved(0.0, height / 2 - line_height() / 2)
    return Piece(height + 6.0, tuple(mark.moved(0.0, 6.0) for mark in marks))


def _leg(y: float, near: float, far: float, pattern: tuple[float, ...]) -> list[Mark]:
    fuse_at, fuse_wide, tall = near + 3.0 * MM, 7.0 * MM, 2.2 * MM
    return [
        Stroke(((near, y), (fuse_at, y)), 9.0),
        Area(
            (
                (fuse_at, y - tall / 2), (fuse_at + fuse_wide, y - tall / 2),
                (fuse_at + fuse_wide, y + tall / 2), (fuse_at, y + tall / 2),
            ),
            "none", 6.0,
        ),
        Stroke(((fuse_at, y), (fuse_at + fuse_wide, y)), 3.0),
        Stroke(((fuse_at + fuse_wide, y), (far, y)), 9.0, pattern),
    ]  # fmt: skip


def connect_body(station: Station, width: float) -> list[Piece]:
    """Return the order of connecting and of taking apart."""
    steps = connect_steps(station)
    numbered = [
        paragraph(f"{number}  {step}", width, STRONG) for number, step in enumerate(steps, start=1)
    ]
    back = (
        "Disconnect in reverse: loads, panel, battery. Never the battery first."
        if station.panel and station.controller
        else "Disconnect in reverse: loads first, battery last."
    )
    return [stacked(*numbered), paragraph(back, width)]


def connect_steps(station: Station) -> list[str]:
    """Return what is connected when."""
    steps = ["Check polarity with a meter", "Antenna to radio, switches off"]
    if station.controller:
        steps.append("Battery to controller, fuse in")
    else:
        steps.append("Fuse and lead to the battery")
    if station.panel:
        steps.append("Covered panel to controller" if station.controller else NO_CONTROLLER.brief)
    return [*steps, "Radio and all other loads last"]
