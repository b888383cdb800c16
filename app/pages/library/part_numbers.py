"""The numbers of a part that matter when one is chosen among several, in a line."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import Any

from app.editors.part_words import headline
from app.state.display import Display
from app.widgets.number_text import plain, quantity
from model.scenario.station import (
    Amplifier,
    Antenna,
    Battery,
    Controller,
    Laptop,
    Panel,
    Part,
    Radio,
    Tuner,
)
from model.support.figures import percent


def numbers(part: Part, display: Display) -> str:
    """Return the numbers of a part, the one that matters most for the battery first."""
    more = _MORE.get(type(part))
    told = more(part) if more else ()
    return " · ".join((headline(part, display), *told)) if more else headline(part, display)


def _key_down(points: Sequence[tuple[float, float]]) -> tuple[str, ...]:
    """Return the greatest power that a current is known for, with that current."""
    if not points:
        return ()
    rf_w, current_a = max(points)
    return (f"{quantity(rf_w, 'W', 1)} at {quantity(current_a, 'A', 2)}",)


def _radio(part: Radio) -> tuple[str, ...]:
    least, most = part.receive_min_v, part.supply_max_v
    supply = (
        (f"{plain(least, 1)} to {quantity(most, 'V', 1)}",)
        if least is not None and most is not None
        else ()
    )
    return (*_key_down(part.key_down), *supply)


def _amplifier(part: Amplifier) -> tuple[str, ...]:
    return (*_key_down(part.key_down), f"operate {quantity(part.operate_a, 'A', 3)}")


def _tuner(part: Tuner) -> tuple[str, ...]:
    return (f"loss {quantity(part.loss_db, 'dB', 1)}",)


def _antenna(part: Antenna) -> tuple[str, ...]:
    return (f"feed line {quantity(part.feed_loss_db, 'dB', 1)}",)


def _laptop(part: Laptop) -> tuple[str, ...]:
    return (f"asleep {quantity(part.sleep_w, 'W', 1)}",)


def _battery(part: Battery) -> tuple[str, ...]:
    return (
        f"tested {percent(part.tested_fraction)}",
        quantity(1000 * part.resistance_ohm, "mΩ", 0),
    )


def _controller(part: Controller) -> tuple[str, ...]:
    return (f"own {quantity(part.own_a, 'A', 3)}",)


def _panel(part: Panel) -> tuple[str, ...]:
    return (
        f"Vmp {quantity(part.vmp_v, 'V', 1)}",
        f"Voc {quantity(part.voc_v, 'V', 1)}",
    )


_MORE: dict[type, Callable[[Any], tuple[str, ...]]] = {
    Radio: _radio, Amplifier: _amplifier, Tuner: _tuner, Antenna: _antenna, Laptop: _laptop,
    Battery: _battery, Controller: _controller, Panel: _panel,
}  # fmt: skip
