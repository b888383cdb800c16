"""A part in a few words: the number of it that matters most for the battery."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from app.editors.fields.words import word_of
from app.state.display import Display
from app.widgets.number_text import awg_of, plain, quantity
from model.editing.field_facts import field_at
from model.library.store import place_in_station
from model.scenario.kinds import PartKind, kind_of
from model.scenario.station import (
    Amplifier,
    Antenna,
    Battery,
    Charger,
    Controller,
    Extra,
    Laptop,
    Lead,
    Panel,
    Part,
    Radio,
    Station,
    Tuner,
)
from model.support.figures import percent


def headline(part: Any, display: Display) -> str:
    """Return the number of a part that matters most for the battery."""
    special = _HEADLINES.get(type(part))
    return special(part, display) if special else _first_use(part, display)


def list_headline(kind: PartKind, station: Station, display: Display) -> str:
    """Return how many parts a list holds, and what of them matters."""
    parts = getattr(station, kind.slot)
    if not parts:
        return "none"
    if kind.slot == "leads":
        length_m = sum(lead.one_way_m for lead in parts)
        return f"{len(parts)}, {display.entered(length_m, 'm', 1)} one way"
    return f"{len(parts)}: {', '.join(headline(part, display) for part in parts[:2])}" + (
        " …" if len(parts) > 2 else ""
    )


def _first_use(part: Part, display: Display) -> str:
    """Return the number that a part's first use is linear in, its mass where it draws nothing."""
    kind = kind_of(part)
    name = next((use.numbers[0] for use in kind.uses if use.numbers), "mass_kg")
    facts = field_at(f"{place_in_station(kind.key)}.{name}")
    return display.entered(getattr(part, name), facts.unit, facts.decimals)


def _radio(part: Radio, _display: Display) -> str:
    return f"receive {quantity(part.receive_a, 'A', 3)}"


def _amplifier(part: Amplifier, _display: Display) -> str:
    return f"{part.out_of_session} outside nets"


def _tuner(part: Tuner, _display: Display) -> str:
    return f"idle {quantity(part.idle_a, 'A', 4)}"


def _antenna(part: Antenna, _display: Display) -> str:
    return quantity(part.gain_dbi, "dBi", 1)


def _laptop(part: Laptop, _display: Display) -> str:
    return f"{quantity(part.power_w, 'W', 1)} {word_of(part.runs)}"


def _battery(part: Battery, _display: Display) -> str:
    count = f"{part.count} × " if part.count > 1 else ""
    return f"{count}{quantity(part.capacity_ah, 'Ah', 1)} {part.chemistry}"


def _controller(part: Controller, _display: Display) -> str:
    return f"{word_of(part.kind)} {percent(part.efficiency)}"


def _panel(part: Panel, _display: Display) -> str:
    count = f"{part.count} × " if part.count > 1 else ""
    return f"{count}{quantity(part.rated_w, 'W', 0)} {part.mount}"


def _lead(part: Lead, display: Display) -> str:
    length = display.entered(part.one_way_m, "m", 2)
    return f"{part.feeds} {length} {_conductor(part, display)}".strip()


def _conductor(part: Lead, display: Display) -> str:
    if part.awg is not None:
        return f"AWG {part.awg}"
    if part.size_mm2 is None:
        return ""
    if display.is_us:
        return f"AWG {plain(awg_of(part.size_mm2), 0)}"
    return quantity(part.size_mm2, "mm²", 2)


def _charger(part: Charger, _display: Display) -> str:
    return quantity(part.current_a, "A", 1)


def _extra(part: Extra, display: Display) -> str:
    if part.power_w is not None:
        return quantity(part.power_w, "W", 1)
    if part.current_a is not None:
        return quantity(part.current_a, "A", 3)
    return display.entered(part.mass_kg, "kg", 2)


_HEADLINES: dict[type, Callable[[Any, Display], str]] = {
    Radio: _radio, Amplifier: _amplifier, Tuner: _tuner, Antenna: _antenna, Laptop: _laptop,
    Battery: _battery, Controller: _controller, Panel: _panel, Lead: _lead, Charger: _charger,
    Extra: _extra,
}  # fmt: skip
