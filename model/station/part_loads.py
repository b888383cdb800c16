"""What each kind of part draws or gives in every step, whatever the charge of the battery.

One function a kind, by its key in ``model.scenario.kinds``. Radio and amplifier are not among
them: what they draw goes with the sending, in ``model.station.loads``.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass
from typing import Any

import numpy as np

from model.scenario.kinds import KINDS, kind_of
from model.scenario.part import Hours, Part
from model.scenario.scenario import Site
from model.scenario.station import Battery, Charger, Controller, Extra, Laptop, Station, Tuner
from model.sky.trip import Stretch
from model.station.chemistry import Floats
from model.station.plan_steps import hours_share, opening_share


@dataclass(frozen=True)
class Hour:
    """When a part is on.

    Attributes
    ----------
    on_share : share of each step within hours of the wall clock, shape (steps,). [1]
    opening_share : share of each step within so many minutes [min] from the start of each block
        that sends, shape (steps,). [1]
    step_h : length of a step [h].
    """

    on_share: Callable[[Hours], Floats | float]
    opening_share: Callable[[float], Floats | float]
    step_h: float


def hour_of(site: Site, trip: Stretch, step_min: float, sends: tuple[float, ...] = ()) -> Hour:
    """Return the hours of a run.

    Parameters
    ----------
    site : the place.
    trip : date, start hour and days.
    step_min : length of a step [min].
    sends : starts of the blocks that send, elapsed [min].

    Returns
    -------
    What gives each part its share of every step.
    """
    return Hour(
        lambda hours: hours_share(site, trip, hours, step_min),
        lambda minutes: opening_share(site, trip, sends, minutes, step_min),
        step_min / 60,
    )


@dataclass(frozen=True, eq=False)
class Drawn:
    """Step means of what is drawn at the bus: constant current and constant power.

    Each of shape (steps,), or a number where it is the same in all [A], [W].
    """

    current_a: Floats | float = 0.0
    power_w: Floats | float = 0.0


def _tuner(tuner: Tuner, hour: Hour) -> Drawn:
    more_a = max(tuner.tuning_a - tuner.idle_a, 0.0)
    return Drawn(tuner.idle_a + hour.opening_share(tuner.tuning_s / 60) * more_a)


def _converter(laptop: Laptop, hour: Hour) -> Drawn:
    # What the computer itself takes may come from its own battery: that is part of the state.
    return Drawn(laptop.converter_idle_a if laptop.runs != "never" else 0.0)


def converter_w(laptop: Laptop, asked_w: Floats, step_h: float, efficiency: Any = None) -> Floats:
    """Return what goes into a laptop's converter once its own full battery is used up.

    Parameters
    ----------
    laptop : its own battery and its converter.
    asked_w : at the laptop in each step, shape (steps, ...) [W].
    step_h : length of a step [h].
    efficiency : of the converter, one for each member; the laptop's unless given [1].

    Returns
    -------
    Power into the converter, of the shape of ``asked_w`` [W].
    """
    taken_wh = np.minimum(np.cumsum(asked_w, axis=0) * step_h, laptop.own_battery_wh)
    own_w = np.diff(taken_wh, prepend=0.0, axis=0) / step_h
    share = laptop.converter_efficiency if efficiency is None else efficiency
    return np.asarray(np.maximum(asked_w - own_w, 0.0) / share)


def _controller(controller: Controller, hour: Hour) -> Drawn:
    return Drawn(controller.own_a)


def _battery(battery: Battery, hour: Hour) -> Drawn:
    return Drawn(battery.own_a * battery.count)


def _extra(extra: Extra, hour: Hour) -> Drawn:
    on = hour.on_share(extra.hours)
    return Drawn(on * (extra.current_a or 0.0), on * (extra.power_w or 0.0))


def _charger(charger: Charger, hour: Hour) -> Floats | float:
    return charger.current_a * hour.on_share(charger.hours)


# A load counts under the one use of its kind, and is linear in each of that use's numbers.
LOADS: dict[str, Callable[[Any, Hour], Drawn]] = {
    "tuner": _tuner,
    "laptop": _converter,
    "battery": _battery,
    "controller": _controller,
    "extra": _extra,
}
# What a kind offers as a current [A].
SOURCES: dict[str, Callable[[Any, Hour], Floats | float]] = {"charger": _charger}


@dataclass(frozen=True)
class Store:
    """What a source lives on, fuel say: it offers its current until the store is used up.

    Attributes
    ----------
    idle_per_h : share of a full store used in each hour in which it runs. [1/h]
    per_ah : share used for each ampere-hour that is taken from it; panel and chargers come
        first. [1/Ah]
    """

    idle_per_h: float
    per_ah: float


# The store of a kind of source that has one; a station carries at most one such part.
STORES: dict[str, Callable[[Any], Store]] = {}


def drawn_by_use(station: Station, hour: Hour, steps: int) -> Mapping[str, Drawn]:
    """Return what all parts of each use draw together, as arrays of shape (steps,).

    Parameters
    ----------
    station : whose parts.
    hour : when each is on.
    steps : of the run.

    Returns
    -------
    Current [A] and power [W] by use, shape (steps,) each.
    """
    found: dict[str, Drawn] = {}
    for kind in KINDS:
        if kind.key in LOADS:
            current_a, power_w = np.zeros(steps), np.zeros(steps)
            for _, part in kind.held_by(station):
                drawn = LOADS[kind.key](part, hour)
                current_a, power_w = current_a + drawn.current_a, power_w + drawn.power_w
            found[kind.uses[0].key] = Drawn(current_a, power_w)
    return found


def offered_a(station: Station, hour: Hour, steps: int) -> Floats:
    """Return the current that all sources offer but the panel and one with a store.

    Parameters
    ----------
    station : whose sources.
    hour : when each runs.
    steps : of the run.

    Returns
    -------
    Current, shape (steps,) [A].
    """
    total = np.zeros(steps)
    for kind in KINDS:
        if kind.key in SOURCES and kind.key not in STORES:
            for _, part in kind.held_by(station):
                total = total + SOURCES[kind.key](part, hour)
    return total


def stored_offer_a(station: Station, hour: Hour, steps: int) -> Floats:
    """Return what the source with a store offers while that lasts.

    Parameters
    ----------
    station : whose source.
    hour : when it runs.
    steps : of the run.

    Returns
    -------
    Current, shape (steps,), or (0,) where the station carries none [A].
    """
    held = _with_store(station)
    if held is None:
        return np.zeros(0)
    key, part = held
    return np.zeros(steps) + SOURCES[key](part, hour)


def own_store(station: Station) -> Store | None:
    """Return the store of the source that has one, None where the station carries none."""
    held = _with_store(station)
    return STORES[held[0]](held[1]) if held is not None else None


def _with_store(station: Station) -> tuple[str, Part] | None:
    return next(
        (
            (kind.key, part)
            for kind in KINDS
            if kind.key in STORES
            for _, part in kind.held_by(station)
        ),
        None,
    )


def drawn_by_number(part: Part, hour: Hour) -> Iterator[tuple[str, Drawn]]:
    """Yield what a part draws by each of the numbers its current is linear in, by itself."""
    kind = kind_of(part)
    numbers = kind.uses[0].numbers
    for number in numbers:
        if getattr(part, number):
            alone = part.model_copy(update={other: 0.0 for other in numbers if other != number})
            yield number, LOADS[kind.key](alone, hour)


_ALWAYS = Hour(lambda _hours: 1.0, lambda _minutes: 0.0, 1 / 60)


def most_drawn(station: Station) -> tuple[float, float]:
    """Return what is drawn with everything on that may be, without tuning.

    Parameters
    ----------
    station : whose parts.

    Returns
    -------
    Constant current [A] and constant power [W].
    """
    drawn = [
        LOADS[kind.key](part, _ALWAYS)
        for kind in KINDS
        if kind.key in LOADS
        for _, part in kind.held_by(station)
    ]
    return sum(float(each.current_a) for each in drawn), sum(float(each.power_w) for each in drawn)


def most_offered_a(station: Station) -> tuple[float, ...]:
    """Return the current of each source but the panel while it runs.

    Parameters
    ----------
    station : whose sources.

    Returns
    -------
    Current of each, in the order of the kinds [A].
    """
    return tuple(
        float(np.max(SOURCES[kind.key](part, _ALWAYS)))
        for kind in KINDS
        if kind.key in SOURCES
        for _, part in kind.held_by(station)
    )
