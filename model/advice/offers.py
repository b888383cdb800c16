"""Offers beside the headline: what would fix it and what if, each proved by a rerun."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import datetime, timedelta
from math import inf
from typing import Literal

from model.advice.actions import SHORT_WATCH_SHARE, Action
from model.advice.advice import rerun, search_cures
from model.engine.comparison import Comparison
from model.engine.run import StationRun
from model.findings.rules import find_without_variants
from model.library.catalogue import Library
from model.results.tie_point import first_end_h
from model.results.wording import capital, letter
from model.scenario.scenario import Scenario
from model.scenario.station import Panel, Station
from model.sky.cloud_words import with_sky
from model.support.figures import DAY_NAMES, amount, entered, percent
from model.support.progress import Search, finish
from model.verdict.headline import headline
from model.verdict.sentences import said_moment

Group = Literal["fix", "act now", "what if"]
FIXES_LIMIT = 3
# What is short enough to stand beside its outcome and its price; the rest is told as it is.
_SHORT_WORDS = {
    "short_watch": "watch 5 min an hour",
    "second_battery": "one more battery",
    "second_panel": "one more panel",
    "amplifier_standby": "amplifier in standby between transmissions",
    "amplifier_off": "amplifier off outside nets",
}
# How a panel stands and what it is spared stay as they are when a smaller one takes its place.
_OF_THE_PLACE = ("mount", "tilt_deg", "azimuth_deg", "re_aim_hours", "count")


@dataclass(frozen=True)
class Offer:
    """One change that can be previewed and applied.

    Attributes
    ----------
    key : a short fixed name.
    group : "fix" for what makes the station of the headline last, "act now" for what makes it
        last longer from a reading on, else "what if".
    words : what is changed, with the letter of the station or "all" where the plan is.
    price : what is given up; empty where nothing is.
    changed : the scenario with the change made.
    lasts : whether the station then lasts out the run, by a rerun.
    until : its first end in that rerun; None where it lasts.
    outcome : the same in words, such as "until about Sun 02:40", to be shown as they are.
    """

    key: str
    group: Group
    words: str
    price: str
    changed: Scenario
    lasts: bool
    until: datetime | None
    outcome: str

    @property
    def told(self) -> str:
        """What is changed, what comes of it and what it costs, in one line."""
        price = f"; {self.price}" if self.price else ""
        return f"{self.words}, {self.outcome}{price}"


def offers(comparison: Comparison, library: Library | None = None) -> tuple[Offer, ...]:
    """Return the offers for a comparison; see ``search_offers``."""
    return finish(search_offers(comparison, library))


def search_offers(
    comparison: Comparison, library: Library | None = None
) -> Search[tuple[Offer, ...]]:
    """Look for fixes of the station that the headline names, then for what-ifs.

    A fix makes it last; a what-if changes what is said of it, or what is carried.

    Parameters
    ----------
    library : where a smaller panel is looked for; without one there is no such what-if.
    """
    index = headline(comparison).station
    planned = None if index is None else comparison.runs[index]
    if index is None or planned is None:
        return ()
    scenario = comparison.scenario
    cures = yield from search_cures(comparison, index)
    found: list[Offer] = []
    # Longer is not fixed: what does not make the station last is no fix.
    for cure in [cure for cure in cures if cure.gained_h == inf]:
        if len(found) == FIXES_LIMIT:
            break
        yield 0.6
        if is_safe(scenario, cure.action.changed):
            run = rerun(cure.action.changed, index)
            found.append(offer_of(scenario, cure.action, "fix", index, run))
    for action in what_ifs(scenario, index, library):
        yield 0.8
        is_found = any(offer.key == action.key for offer in found)
        if not is_found and is_safe(scenario, action.changed):
            run = rerun(action.changed, index)
            if action.loses or _said_of(run) != _said_of(planned):
                found.append(offer_of(scenario, action, "what if", index, run))
    return tuple(found)


def _said_of(run: StationRun) -> tuple[str, str]:
    """Return what a what-if may change of a run, as it is said: its first end and lowest charge."""
    end_h = first_end_h(run)
    ends = "" if end_h == inf else said_moment(run, run.clock.at(round(end_h / run.clock.step_h)))
    return ends, "" if ends else percent(run.lowest.value)


def is_safe(before: Scenario, after: Scenario) -> bool:
    """Return whether a change brings no danger: no protection weakened, no new warning.

    Reserve, start charge, fuses and the battery's limits stay as they are.
    """
    if len(before.stations) != len(after.stations):
        return False
    kept = all(
        _protection(old) == _protection(new)
        for old, new in zip(before.stations, after.stations, strict=True)
    )
    return kept and _warned(after) <= _warned(before)


def _protection(station: Station) -> tuple[object, ...]:
    battery, controller = station.battery, station.controller
    return (
        station.reserve_fraction,
        station.start_fraction,
        tuple((lead.feeds, lead.fuse_a) for lead in station.leads),
        battery.charge_limit_a,
        battery.discharge_limit_a,
        battery.cutoff_v,
        battery.reconnect_v,
        battery.charge_min_c,
        battery.tested_fraction,
        battery.cells,
        controller is None,
        controller.output_limit_a if controller else None,
        station.radio.supply_max_v,
    )


def _warned(scenario: Scenario) -> set[str]:
    """Return the fields at which an error or a warning stands."""
    return {f.path for f in find_without_variants(scenario) if f.level != "hint"}


def offer_of(
    scenario: Scenario, action: Action, group: Group, index: int, run: StationRun
) -> Offer:
    """Return an action as an offer, with what its rerun came to.

    Parameters
    ----------
    scenario : before the change.
    index : the station the action is for, from 0.
    run : that station with the change made.
    """
    is_fix = group != "what if"
    words = fix_words(scenario, index, action) if is_fix else action.words
    price = price_words(action) if is_fix else action.loses
    end_h = first_end_h(run)
    until = None if end_h == inf else run.clock.at(round(end_h / run.clock.step_h))
    outcome = "lasts" if until is None else f"until {said_moment(run, until)}"
    return Offer(action.key, group, words, price, action.changed, until is None, until, outcome)


def fix_words(scenario: Scenario, index: int, action: Action) -> str:
    """Return an action with whom it changes: a plan is everybody's."""
    words = _SHORT_WORDS.get(action.key, action.words)
    if len(scenario.stations) == 1:
        return capital(words)
    is_for_all = action.changed.plan != scenario.plan
    return f"{'All' if is_for_all else letter(index)}: {words}"


def price_words(action: Action) -> str:
    """Return what an action gives up, as it stands after its words."""
    if action.key == "short_watch":
        missed = round(60 * (1 - SHORT_WATCH_SHARE))
        return f"calls in {missed} of 60 min missed"
    loses = action.loses
    if loses.startswith("It adds "):
        return f"more {loses[8:]}" if loses.endswith("weight") else f"{loses[8:]} more"
    if loses.startswith("Your signal would be "):
        return f"signal {loses[21:]}"
    return loses[:1].lower() + loses[1:]


def what_ifs(scenario: Scenario, index: int, library: Library | None = None) -> Iterator[Action]:
    """Yield changes whose outcome is worth knowing beforehand, for one station."""
    yield from _amplifier_left_on(scenario, index)
    yield from _rain(scenario)
    if library is not None:
        yield from _smaller_panel(scenario, index, library)


def _who(scenario: Scenario, index: int) -> str:
    return f"{letter(index)}: " if len(scenario.stations) > 1 else ""


def _amplifier_left_on(scenario: Scenario, index: int) -> Iterator[Action]:
    amplifier = scenario.stations[index].amplifier
    if amplifier is None or amplifier.out_of_session == "operate":
        return
    left_on = amplifier.model_copy(update={"out_of_session": "operate"})
    words = f"{_who(scenario, index)}amplifier in operate outside nets"
    changed = _with_part(scenario, index, "amplifier", left_on)
    yield Action("amplifier_operate", "habit", words, "", changed)


def _rain(scenario: Scenario) -> Iterator[Action]:
    """Yield rain on each whole day of the run, the last first.

    What comes after an end changes nothing: then the day before may.
    """
    day = scenario.day
    if not any(station.panel for station in scenario.stations):
        return
    for at in reversed(range(day.days)):
        skies = with_sky(day.sky, "rain", at, day.days + 1)
        if skies != day.sky:
            date = day.date + timedelta(days=at)
            changed = scenario.model_copy(update={"day": day.model_copy(update={"sky": skies})})
            words = f"Rain on {DAY_NAMES[date.weekday()]} {date.day}"
            yield Action("rain", "habit", words, "", changed)


def _smaller_panel(scenario: Scenario, index: int, library: Library) -> Iterator[Action]:
    panel = scenario.stations[index].panel
    if panel is None or scenario.stations[index].controller is None:
        return
    smaller = [
        part
        for part in library.of("panel")
        if isinstance(part, Panel) and part.rated_w < panel.rated_w
    ]
    if not smaller:
        return
    part = max(smaller, key=lambda each: each.rated_w)
    placed = part.model_copy(update={name: getattr(panel, name) for name in _OF_THE_PLACE})
    words = f"{_who(scenario, index)}panel of {entered(part.rated_w, 'W')}"
    lighter_kg = (panel.mass_kg - part.mass_kg) * panel.count
    saves = f"{amount(lighter_kg, 'kg', 2)} less" if lighter_kg > 0 else ""
    changed = _with_part(scenario, index, "panel", placed)
    yield Action("smaller_panel", "gear", words, saves, changed)


def _with_part(scenario: Scenario, index: int, slot: str, part: object) -> Scenario:
    station = scenario.stations[index].model_copy(update={slot: part})
    stations = (*scenario.stations[:index], station, *scenario.stations[index + 1 :])
    return scenario.model_copy(update={"stations": stations})
