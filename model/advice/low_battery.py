"""Battery low: what to switch off, and until when each step keeps the station on the air.

Every time is a rerun from the moment at which the low battery is noticed, with the charge that is
left then and without sun or charger: the station begins there, its computer's own battery empty.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta
from math import ceil
from typing import Any

from model.advice.actions import habits
from model.advice.minimum_watch import last_resorts
from model.engine.run import hours_of_receive
from model.results.wording import capital
from model.scenario.kinds import KINDS
from model.scenario.scenario import Scenario
from model.sky.trip import planned
from model.station.carried_mass import shared_extras

# What a moment is called at which the charge was read.
NOW = "now"
# What is worked out beyond this is said to last longer.
LIMIT_DAYS = 2
# A step gains something where it lasts longer by this much [h].
WORTH_H = 1 / 6
# The charge at which to act is told to a tenth, and never below what is to be kept.
TOLD_AH = 0.1


@dataclass(frozen=True)
class Noticed:
    """A moment at which a low battery is noticed, and what it is called, such as "at dusk"."""

    words: str
    at: datetime


@dataclass(frozen=True)
class End:
    """When a station goes off the air.

    Attributes
    ----------
    hours : from the moment it is noticed; None where it is still on the air at the limit [h].
    gains : whether that is later than without any change.
    """

    hours: float | None
    gains: bool


@dataclass(frozen=True)
class Relief:
    """One step, or all together, with its ends.

    Attributes
    ----------
    key, words : what is done.
    loses : what is given up by it.
    ends : one for each moment; None where it would end earlier than without any change.
    """

    key: str
    words: str
    loses: str
    ends: tuple[End | None, ...]


@dataclass(frozen=True)
class LowBattery:
    """What a low battery leaves, by when it is noticed.

    Attributes
    ----------
    left_ah : charge at which all this is to be begun [Ah].
    used_ah : the same as taken out since full [Ah].
    noticed : the moments.
    no_change : without any step.
    steps : each by itself, the one by which least is lost first.
    together : all of them; None where there are fewer than two.
    """

    left_ah: float
    used_ah: float
    noticed: tuple[Noticed, ...]
    no_change: Relief
    steps: tuple[Relief, ...]
    together: Relief | None

    @property
    def leaves_out(self) -> bool:
        """Whether a step is left out at some moment, as it would shorten the time."""
        rows = (*self.steps, *((self.together,) if self.together else ()))
        return any(end is None for row in rows for end in row.ends)


@dataclass(frozen=True)
class _Step:
    """A step: what it is called, what it costs, and the scenario with it taken."""

    key: str
    words: str
    loses: str
    taken: Callable[[Scenario], Scenario]


def told_up_ah(keep_ah: float) -> float:
    """Return the charge at which to act as it is told.

    Parameters
    ----------
    keep_ah : charge to be kept [Ah].

    Returns
    -------
    The next tenth that is not below it [Ah].
    """
    return round(ceil(keep_ah / TOLD_AH - 1e-9) * TOLD_AH, 6)


def low_battery(
    scenario: Scenario, index: int, noticed: tuple[Noticed, ...], left_ah: float
) -> LowBattery:
    """Work out what each step brings at each moment.

    Parameters
    ----------
    scenario : the question.
    index : which station, from 0.
    noticed : the moments, with their offsets from UTC.
    left_ah : charge left at each of them, held to what the battery can store [Ah].

    Returns
    -------
    When the station goes off the air without a change, with each step, and with all of them.
    """
    full_ah = scenario.stations[index].battery.full_ah
    left_ah = min(max(left_ah, 0.0), full_ah)
    steps = tuple(_steps(scenario, index))

    def hours(changed: Scenario) -> tuple[float | None, ...]:
        return tuple(hours_from(changed, index, each.at, left_ah) for each in noticed)

    base = hours(scenario)
    every = scenario
    for step in steps:
        every = step.taken(every)
    together = None
    if len(steps) > 1:
        together = Relief("together", "All together", "", _ends(hours(every), base))
    return LowBattery(
        left_ah=left_ah,
        used_ah=full_ah - left_ah,
        noticed=noticed,
        no_change=Relief("none", "No change", "", tuple(End(each, gains=False) for each in base)),
        steps=tuple(
            Relief(step.key, step.words, step.loses, _ends(hours(step.taken(scenario)), base))
            for step in steps
        ),
        together=together,
    )


def _ends(
    found: tuple[float | None, ...], base: tuple[float | None, ...]
) -> tuple[End | None, ...]:
    return tuple(_end(one, other) for one, other in zip(found, base, strict=True))


def _end(hours: float | None, base: float | None) -> End | None:
    if hours is None:
        return End(None, gains=base is not None)
    if base is None or hours < base:
        return None
    return End(hours, gains=hours - base >= WORTH_H)


def hours_from(scenario: Scenario, index: int, at: datetime, left_ah: float) -> float | None:
    """Return how long a station stays on the air from a moment on, without sun or charger.

    Parameters
    ----------
    scenario : the question.
    index : which station, from 0.
    at : the moment, with its offset from UTC.
    left_ah : charge left there [Ah].

    Returns
    -------
    Time, None where it is more than ``LIMIT_DAYS`` [h].
    """
    # Most go off the air within a day: no more is worked out at once.
    for days in (1, LIMIT_DAYS):
        begun = begun_at(scenario, index, at, left_ah, days)
        hours = hours_of_receive(
            begun.site,
            planned(begun),
            begun.plan,
            begun.stations[index],
            shared_extras(begun, index),
        )
        if hours is not None:
            return hours
    return None


def begun_at(
    scenario: Scenario, index: int, at: datetime, left_ah: float, days: int = LIMIT_DAYS
) -> Scenario:
    """Return the scenario that begins at a moment with that charge, and has no sun or charger.

    Parameters
    ----------
    scenario : the question.
    index : which station, from 0.
    at : the moment, by the wall clock of the place.
    left_ah : charge left there [Ah].
    days : how many days it is run on.

    Returns
    -------
    A scenario that can be run by itself; its first step is that moment.
    """
    station = scenario.stations[index]
    none = {
        kind.slot: kind.none
        for kind in KINDS
        # The controller draws its own current by night as well.
        if kind.role == "source" and kind.slot != "controller"
    }
    if station.laptop is not None:
        none["laptop"] = station.laptop.model_copy(update={"own_battery_wh": 0.0})
    fraction = min(left_ah / station.battery.full_ah, 1.0)
    bare = station.model_copy(update={**none, "start_fraction": fraction})
    given = scenario.day
    past = (at.date() - given.date).days
    day = given.model_copy(
        update={
            "date": at.date(),
            "start_hour": at.hour + at.minute / 60,
            "days": days,
            **{name: _from(getattr(given, name), past) for name in ("sky", "low_c", "high_c")},
        }
    )
    stations = (*scenario.stations[:index], bare, *scenario.stations[index + 1 :])
    return scenario.model_copy(update={"day": day, "stations": stations})


def _from(given: tuple[Any, ...], past: int) -> tuple[Any, ...]:
    """Return what is given by date from a later date on; a short list goes on with its last."""
    return given[min(max(past, 0), len(given) - 1) :]


def _steps(scenario: Scenario, index: int) -> Iterator[_Step]:
    """Yield the steps, the one by which least is lost first.

    The order is a judgement: what nobody is called by, then power, then being heard, then hearing.
    """
    by_key = {action.key: action for action in habits(scenario, index)}
    amplifier = by_key.get("amplifier_off")
    if amplifier is not None:
        yield _step(index, ("amplifier_off",), "Amplifier off outside nets", amplifier.loses)
    spared = [key for key in by_key if key.endswith("_off") and key != "amplifier_off"]
    if spared:
        loses = [by_key[key].loses for key in spared]
        yield _step(index, tuple(spared), _spared_words(scenario, index, spared), "; ".join(loses))
    power = by_key.get("without_amplifier") or by_key.get("tenth_power")
    if power is not None:
        words = power.words.removeprefix("transmit ").removeprefix("with the ")
        if power.key == "without_amplifier":
            yield _step(index, (power.key,), f"Amplifier off, {words}", power.loses)
        else:
            yield _step(index, (power.key,), f"Transmit {words}", power.loses)
    for action in last_resorts(scenario, index):
        if action.key == "silent":
            yield _step(index, (action.key,), "Transmit nothing", action.loses)
    watch = by_key.get("short_watch")
    if watch is not None:
        yield _step(index, (watch.key,), "Listen the first 5 min of each hour", watch.loses)


def _spared_words(scenario: Scenario, index: int, keys: list[str]) -> str:
    """Return what is switched off that nobody is called by, as one line."""
    names = []
    if "computer_off" in keys:
        names.append("Computer")
    if "extras_off" in keys:
        drawing = [e for e in scenario.stations[index].extras if e.power_w or e.current_a]
        names.append(" ".join(drawing[0].name.split()) if len(drawing) == 1 else "extras")
    if len(names) < len(keys):
        names.append("other loads")
    return f"{capital(' and '.join(name or 'extra' for name in names))} off"


def _step(index: int, keys: tuple[str, ...], words: str, loses: str) -> _Step:
    def taken(scenario: Scenario) -> Scenario:
        for key in keys:
            actions = (*habits(scenario, index), *last_resorts(scenario, index))
            scenario = next((each.changed for each in actions if each.key == key), scenario)
        return scenario

    return _Step("+".join(keys), words, loses, taken)


def told_at(noticed: Noticed, hours: float, *, about: bool) -> tuple[datetime, int]:
    """Return when an end is told to be, and how many dates after that of the moment it lies.

    Parameters
    ----------
    noticed : the moment.
    hours : from then to the end [h].
    about : whether most of it rests on guesses: then it is told to ten minutes, never later than
        it is.

    Returns
    -------
    The local time, and how many midnights lie in between.
    """
    minutes = round(hours * 60)
    if about:
        end_min = noticed.at.minute + minutes
        minutes -= min(end_min % 10, minutes)
    utc = noticed.at.astimezone(UTC) + timedelta(minutes=minutes)
    at = utc.astimezone(noticed.at.tzinfo)
    return at, (at.date() - noticed.at.date()).days
