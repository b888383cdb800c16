"""Cards to cut out: wire, rest voltage, frost, connecting, decibels, what to switch off first.

Their numbers come from the model; cautions repeat common practice, and local rules come first.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable

import numpy as np

from app.classroom.lessons import class_day
from app.printing.marks import HEADING, MM, Mark, Piece, beside, box, stacked
from app.printing.say import Cell
from app.printing.table import Column, spread, table
from app.printing.type import line_of, paragraph
from app.widgets.number_text import fixed, quantity, sentence_text
from model.advice.load_shedding import ladder
from model.editing.units import M_PER_FT
from model.lessons.outcomes import charges_alike
from model.scenario import cautions
from model.scenario.chemistries import CHEMISTRIES
from model.scenario.station import Battery
from model.station.chemistry import interpolate, rest_v
from model.station.conductors import awg_mm2, copper_ohm_per_m
from model.station.decibels import S_UNIT_DB, decibels
from model.support.figures import entered, percent

GAP = 4 * MM
PAD = 2.5 * MM
ROW = 4.8 * MM
WIRE_A = 20.0
WIRE_LENGTHS_M = (1.0, 2.0, 3.0, 5.0)
# A person counts in whole feet.
WIRE_LENGTHS_FT = (3.0, 6.0, 10.0, 16.0)
WIRE_GAUGES = (16, 14, 12, 10, 8)
CHARGES = (1.0, 0.9, 0.8, 0.7, 0.6, 0.5, 0.4, 0.3, 0.2, 0.1)
COLD_C = (25.0, 10.0, 0.0, -10.0, -20.0)
CONNECT_STEPS = (
    "Meter: polarity of battery, panel and every lead.",
    "Battery to controller, fuse in place; set it to the battery's chemistry.",
    "Panel, covered, to controller.",
    "Load: the radio.",
)
POWER_RATIOS = (1.25, 2.0, 4.0, 5.0, 10.0, 20.0, 100.0)


def cards(width: float, *, us: bool = False) -> list[Piece]:
    """Return the cards, two in a row, in the units asked for."""
    card = (width - GAP) / 2
    laid = [
        stacked(line_of(title, style=HEADING), *make(card - 2 * PAD, us), gap=0.8 * MM)
        for title, make in _CARDS
    ]
    return [_row(laid[place], laid[place + 1], card) for place in range(0, len(laid), 2)]


def _row(left: Piece, right: Piece, card: float) -> Piece:
    """Return two cards in frames of one height, to be cut with one stroke."""
    height = max(left.height, right.height) + 2 * PAD
    framed = []
    for body in (left, right):
        marks: list[Mark] = [box(0.0, 0.0, card, height), *body.moved(PAD, PAD)]
        framed.append(Piece(height, tuple(marks)))
    return beside((0.0, framed[0]), (card + GAP, framed[1]))


def _grid(width: float, header: list[str], rows: list[list[Cell]]) -> Piece:
    wide = spread(width, 2.6 if len(header) > 3 else 1.6, *(1.0 for _ in header[1:]))
    columns = [Column(wide[0]), *(Column(each, "right") for each in wide[1:])]
    return table(columns, rows, header=header, ruled=True, least_height=ROW)


def _wire(width: float, us: bool) -> list[Piece]:
    rows: list[list[Cell]] = []
    lengths = WIRE_LENGTHS_FT if us else WIRE_LENGTHS_M
    one_m = M_PER_FT if us else 1.0
    for gauge in WIRE_GAUGES:
        ohm_per_m = copper_ohm_per_m(awg_mm2(gauge))
        lost = [f"{WIRE_A * 2 * length * one_m * ohm_per_m:.2f}" for length in lengths]
        rows.append([f"AWG {gauge}, {fixed(awg_mm2(gauge), 1, 'mm²')}", *lost])
    header = ["Wire", *(entered(length, "ft" if us else "m") for length in lengths)]
    words = (
        f"Voltage lost at {entered(WIRE_A, 'A')}, out and back, by length ONE WAY; copper at"
        f" {quantity(20.0, '°C', 0, us=us)}, no joints. At 10 A half, at 5 A a quarter."
        f" {cautions.FUSE.text}"
    )
    return [_grid(width, header, rows), paragraph(words, width)]


def _rest(width: float, _us: bool) -> list[Piece]:
    charge = np.array(CHARGES)
    lithium, lead = (Battery(chemistry=kind, capacity_ah=1.0) for kind in ("LFP", "AGM"))
    volts = [rest_v(each.chemistry, each.cells_in_series, charge) for each in (lithium, lead)]
    rows: list[list[Cell]] = [
        [percent(part), f"{first:.2f}", f"{second:.2f}"]
        for part, first, second in zip(CHARGES, *volts, strict=True)
    ]
    middle_v = float(rest_v("LFP", lithium.cells_in_series, np.array([0.5]))[0])
    low, high = charges_alike(lithium, middle_v)
    doubt = (
        f"DO NOT RELY ON IT: {fixed(middle_v, 1, 'V')} on LFP, read to a tenth of a volt, can be"
        f" anything from {percent(low)} to {percent(high)}. Rest 30 to 60 minutes first, no load"
        " and"
        " no charge; counting Ah from full is better."
    )
    return [_grid(width, ["Charge", "LFP, V", "AGM, V"], rows), paragraph(doubt, width)]


def _frost(width: float, us: bool) -> list[Piece]:
    rows: list[list[Cell]] = [
        [
            quantity(at, "°C", 0, us=us),
            *(_usable(kind, at) for kind in ("LFP", "AGM")),
        ]
        for at in COLD_C
    ]
    rules = (
        cautions.FROST.text,
        "However strong the sun: the temperature of the CELLS counts, or the maker's limit where it"
        " is higher. Discharging goes on.",
        f"Keep it warm at night, insulated. {cautions.SLEEPING_BAG.text}",
        f"{cautions.WARMED.text} {cautions.PROTECTION.text}",
    )
    header = ["Cells at", "LFP gives", "AGM gives"]
    return [_grid(width, header, rows), *_paragraphs(rules, width, us)]


def _usable(kind: str, at_c: float) -> str:
    return percent(float(interpolate(CHEMISTRIES[kind].usable, np.array([at_c]))[0]))


def _connect(width: float, us: bool) -> list[Piece]:
    steps = (
        *(f"{number}  {step}" for number, step in enumerate(CONNECT_STEPS)),
        "To stop: load off, panel off, battery last.",
        "Never unplug the battery while the sun is on the panel: the voltage rises and can destroy"
        " what is connected.",
        *cautions.texts(
            (
                cautions.NO_CONTROLLER,
                cautions.PANELS,
                cautions.FUSE,
                cautions.SHORT_CIRCUIT,
                cautions.PARALLEL,
                cautions.OVER_VOLTAGE,
            )
        ),
    )
    return _paragraphs(steps, width, us)


def _paragraphs(texts: Iterable[str], width: float, us: bool) -> list[Piece]:
    return [paragraph(sentence_text(text, us=us), width) for text in texts]


def _decibel(width: float, us: bool) -> list[Piece]:
    rows: list[list[Cell]] = []
    for ratio in POWER_RATIOS:
        step_db = decibels(ratio, 1.0)
        rows.append([f"× {ratio:g}", f"{step_db:.1f}", f"{step_db / S_UNIT_DB:.1f}"])
    words = (
        f"One S-unit is {entered(S_UNIT_DB, 'dB')}. Power helps the other side hear you; it does"
        f" nothing for what you hear. {cautions.EXPOSURE.text}"
    )
    return [_grid(width, ["Power", "dB", "S-units"], rows), *_paragraphs([words], width, us)]


def _ladder(width: float, us: bool) -> list[Piece]:
    """Return what gains most on the class day, ranked by reruns."""
    scenario = class_day()
    found = ladder(scenario, 0)
    wide = spread(width, 4, 1.3)
    rows: list[list[Cell]] = [
        [sentence_text(rung.words, us=us), f"+{fixed(rung.gained_h, 1, 'h')}"]
        for rung in found.rungs
        if rung.gained_h > 0.05
    ]
    columns = [Column(wide[0], lines=3), Column(wide[1], "right")]
    words = (
        f"One box of the class day, on the battery alone: {fixed(found.base_h, 0, 'h')} with no"
        " change. Your kit ranks differently: measure, then rank. Keep what calls for help to the"
        " last."
    )
    ranked = table(columns, rows, header=("Do", "Gains"), ruled=True, least_height=ROW)
    return [ranked, paragraph(words, width)]


_CARDS: tuple[tuple[str, Callable[[float, bool], list[Piece]]], ...] = (
    ("Wire: voltage lost", _wire),
    ("Rest voltage, and how little it tells", _rest),
    ("Frost", _frost),
    ("Connect in this order", _connect),
    ("Decibels and S-units", _decibel),
    ("What to switch off first", _ladder),
)
