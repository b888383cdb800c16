"""The field check judged on trips whose causes are known.

    python -m tests.laws.field_truths --truths 1000 --seeds 200

A truth is a trip of a station with other numbers, another sun and another start, run by the plain
engine in steps of a minute. The station is the shipped one box, or by ``--station`` one of
``STATIONS``: the same with lead-acid batteries and no panel, or low power with an amplifier. Its
readings are taken at the printed times, each off by 1 %. No outside reference: what is judged is
whether odds and intervals keep what they say.
"""

from __future__ import annotations

import argparse
import sys
from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass, replace
from functools import cache
from typing import Any

import numpy as np
from numpy.random import Generator, default_rng

from app.resources import resource
from model import read
from model.engine.comparison import simulate
from model.engine.run import StationRun, run_station
from model.field.field_outlook import end_h
from model.field.log_check import FieldCheck, field_check
from model.field.unknowns import paths_of_use, unknowns
from model.scenario.power import Battery
from model.scenario.station import FieldReading, Station

# When the page has a counter read: leaving, noon, dusk, midnight, before dawn, next noon.
PRINTED = ((1, "08:00"), (1, "12:00"), (1, "20:00"), (2, "00:00"), (2, "06:00"), (2, "12:00"))
NOISE_SHARE = 0.01
FIXED: dict[str, dict[str, float]] = {
    "battery 75 %": {"battery": 0.75},
    "receive +20 %": {"receive": 1.2},
    "battery 75 %, receive +20 %": {"battery": 0.75, "receive": 1.2},
    "half the sun": {"sun": 0.5},
    "started at 80 %": {"start": 0.8 / 0.95},
}
LATE_H = 2.0


ONE_BOX = "one box"


def _without_panel(station: Station, battery: Battery) -> Station:
    leads = tuple(lead for lead in station.leads if lead.feeds != "panel")
    return station.model_copy(
        update={"panel": None, "controller": None, "leads": leads, "battery": battery}
    )


@cache
def planned(name: str = ONE_BOX) -> StationRun:
    """Return the run of a station as it is entered."""
    whole = read(resource("scenarios/ridge-weekend.toml"))
    lead_acid = read(resource("scenarios/midwinter-relay.toml")).stations[2].battery
    low, box = whole.stations
    station = STATIONS[name](low, box, lead_acid)
    [run] = simulate(whole.model_copy(update={"stations": (station,)})).runs
    assert run is not None
    return run


# From low power with an amplifier, one box and lead-acid batteries.
STATIONS: dict[str, Callable[[Station, Station, Battery], Station]] = {
    ONE_BOX: lambda _low, box, _acid: box,
    "one box, lead-acid, no panel": lambda _low, box, acid: _without_panel(box, acid),
    "amplifier": lambda low, _box, _acid: low,
    "amplifier, lead-acid, no panel": lambda low, _box, acid: _without_panel(
        low, acid.model_copy(update={"count": 1})
    ),
}


@dataclass(frozen=True)
class Truth:
    """A trip as it really went, and as it was planned."""

    run: StationRun
    planned: StationRun

    def ends_after(self, step: int) -> float:
        """Return when it next goes off the air for an hour, after it is back; hours."""
        receives = self.run.flow.radio_on.copy()
        for begin, end in gaps(receives):
            if end - begin < 60 and end < receives.size:
                receives[begin:end] = True
        later = receives[step:]
        back = step + int(np.argmax(later)) if later.any() else receives.size
        gone = np.flatnonzero(~receives[back:])
        return float(back + gone[0]) / 60 if gone.size else np.inf


def gaps(receives: np.ndarray) -> list[tuple[int, int]]:
    """Return the first minute of each gap and the one after its last."""
    edges = np.diff(np.concatenate([[1], receives.astype(int), [1]]))
    return list(zip(np.flatnonzero(edges < 0), np.flatnonzero(edges > 0), strict=True))


def drawn_factors(
    run: StationRun, chance: Generator, fixed: Mapping[str, float] | None
) -> dict[str, float]:
    """Return the factor of each unknown; beside fixed ones, ordinary errors alone."""
    found = {}
    for each in unknowns(run):
        share = each.fault_share if fixed is None else 0.0
        found[each.key] = float(np.exp(each.drawn(1, chance, share)[0]))
    return found | dict(fixed or {})


def truth_of(run: StationRun, factors: Mapping[str, float]) -> Truth:
    """Run a trip with these factors, minute by minute."""
    station = run.station
    for each in unknowns(run):
        for path in paths_of_use(each.key, station) if each.group == "load" else ():
            station = _times(station, path, factors[each.key])
    station = _times(station, "battery.tested_fraction", factors["battery"])
    if station.panel is not None:
        station = _times(station, "panel.rated_w", factors["sun"])
    start = min(station.start_fraction * factors["start"], 1.0)
    station = station.model_copy(update={"start_fraction": start})
    given = run.trip.weather
    index = [given.index[min(at, len(given.index) - 1)] for at in range(len(run.clock.dates))]
    sky = tuple(each * factors.get(f"day.{at}", 1.0) for at, each in enumerate(index))
    trip = replace(run.trip, weather=replace(given, index=sky))
    done = run_station(run.site, trip, run.plan, station, run.shared)
    return Truth(done, run)


def _times(station: Station, path: str, factor: float) -> Station:
    slot, *place, name = path.split(".")
    held: Any = getattr(station, slot)
    part = held[int(place[0])] if place else held
    value = getattr(part, name)
    more = (
        tuple((rf_w, current_a * factor) for rf_w, current_a in value)
        if isinstance(value, tuple)
        else value * factor
    )
    changed = part.model_copy(update={name: more})
    if place:
        at = int(place[0])
        changed = (*held[:at], changed, *held[at + 1 :])
    return station.model_copy(update={slot: changed})


def log_of(truth: Truth, until: int, chance: Generator) -> tuple[FieldReading, ...]:
    """Return what was written down up to a step, each number off by its noise."""
    entries = list(_readings(truth, until, chance))
    receives = truth.run.flow.radio_on
    for step in np.flatnonzero(receives[1:] != receives[:-1]) + 1:
        if step <= until:
            at = truth.run.clock.at(int(step))
            day = (at.date() - truth.run.clock.start.date()).days + 1
            event = "back" if receives[step] else "off"
            entries.append(FieldReading(day=day, at=f"{at:%H:%M}", event=event))
    return tuple(entries)


def _readings(truth: Truth, until: int, chance: Generator) -> Iterator[FieldReading]:
    run, flow = truth.planned, truth.run.flow
    at_start_ah = (1 - run.station.start_fraction) * run.inputs.bounds.full_ah
    for day, at in PRINTED:
        step = step_at(day, at)
        noise = 1 + NOISE_SHARE * chance.standard_normal(3)
        if step > until:
            continue
        used_ah = at_start_ah + float(flow.stored_ah[0] - flow.stored_ah[step])
        seen: dict[str, Any] = {"day": day, "at": at, "used_ah": round(used_ah * noise[0], 2)}
        seen["panel_a"] = round(float(flow.panel_a[step]) * noise[1], 2)
        if flow.radio_on[step]:
            listening_a = truth.run.station.radio.receive_a + sum(
                float(current_a[step])
                for use, current_a in flow.use_a.items()
                if use not in ("receive", "transmit")
            )
            seen["load_a"] = round(listening_a * noise[2], 3)
        yield FieldReading.model_validate(seen)


def step_at(day: int, at: str) -> int:
    """Return the minute of the run; it begins at 08:00 of day 1."""
    return (day - 1) * 1440 + int(at[:2]) * 60 + int(at[3:]) - 480


def when_told(truth: Truth, key: str) -> int | None:
    """Return the first printed time after an end, or for the start after a recharge to full.

    None where neither comes before the last printed time.
    """
    flow = truth.run.flow
    happens = ~flow.radio_on
    if key == "started at 80 %":
        happens = flow.stored_ah >= 0.998 * truth.run.inputs.bounds.full_ah
    begun = int(np.argmax(happens)) if happens.any() else happens.size
    steps = [step_at(*each) for each in PRINTED]
    return next((step for step in steps if step >= begun), None)


def when_untold(truth: Truth, chance: Generator) -> int:
    """Return a printed time at which there is a first reading and no end yet."""
    gone = np.flatnonzero(~truth.run.flow.radio_on)
    last = int(gone[0]) if gone.size else truth.run.flow.radio_on.size
    steps = [step for each in PRINTED[1:] if (step := step_at(*each)) < last]
    return int(chance.choice(steps))


@dataclass(frozen=True)
class Judged:
    """One check of one truth: its place within the foretold ends, and whether that was late."""

    check: FieldCheck
    end_h: float
    place: float
    is_late: bool


def judge(truth: Truth, until: int, chance: Generator) -> Judged:
    """Check a truth by its log up to a step.

    Its place is the share of the foretold ends before its own; of those that last to the end as it
    does, any.
    """
    check = field_check(truth.planned, log_of(truth, until, chance))
    found = check.found
    assert found is not None
    end_h = truth.ends_after(until)
    ends, outlook = foretold_h(check), found.outlook
    before = float(found.member_share[ends < end_h].sum())
    same = float(found.member_share[ends == end_h].sum())
    late = outlook.receive.cautious_h > end_h + LATE_H
    return Judged(check, end_h, before + same * chance.random(), bool(late))


def foretold_h(check: FieldCheck) -> np.ndarray:
    """Return the next end of every member of a check, in hours."""
    assert check.found is not None
    outlook = check.found.outlook
    return end_h(check.found.posterior.courses, outlook.from_step, is_off=outlook.is_off)


def judge_prior(number: int, station: str = ONE_BOX) -> Judged:
    """Draw one truth from what is held beforehand, and stop at a printed time drawn as well."""
    chance, run = default_rng([1, number]), planned(station)
    truth = truth_of(run, drawn_factors(run, chance, None))
    return judge(truth, step_at(*PRINTED[int(chance.integers(1, len(PRINTED)))]), chance)


@dataclass(frozen=True)
class FixedJudged:
    """One seed of a fixed truth: after what tells it, if anything does, and at a time before."""

    is_told: bool
    is_first: bool
    top: tuple[str, ...]
    keeps_odds: bool
    is_late: bool
    shares: tuple[tuple[str, float, float], ...]


def fixed_of(station: str) -> dict[str, dict[str, float]]:
    """Return the fixed truths that a station can have: without a panel none of the sun."""
    has_sun = planned(station).station.panel is not None
    return {name: fixed for name, fixed in FIXED.items() if has_sun or "sun" not in fixed}


def judge_fixed(name: str, number: int, station: str = ONE_BOX) -> FixedJudged:
    """Judge one seed of a fixed truth."""
    chance, run = default_rng([2, number]), planned(station)
    fixed = FIXED[name]
    truth = truth_of(run, drawn_factors(run, chance, fixed))
    told = when_told(truth, name)
    until = step_at(*PRINTED[-1]) if told is None else told
    after = judge(truth, until, chance).check.found
    before = judge(truth, when_untold(truth, chance), chance)
    assert after is not None
    assert before.check.found is not None
    top = tuple(sorted(each.unknown.key for each in after.causes[: len(fixed)]))
    held = [before.check.found.cause(key) for key in fixed]
    return FixedJudged(
        told is not None,
        top == tuple(sorted(fixed)),
        top,
        # Odds that are held are so by a few rounds of scaling.
        all(each.share >= each.prior_share - 1e-6 for each in held),
        before.is_late,
        tuple((each.unknown.key, each.share, each.prior_share) for each in held),
    )


def say(*words: object) -> None:
    """Write a line at once: the long form takes an hour."""
    sys.stdout.write(" ".join(map(str, words)) + "\n")
    sys.stdout.flush()


def main(arguments: list[str]) -> int:
    """Judge as many as asked, and print what came of it."""
    asked = argparse.ArgumentParser(description=__doc__)
    asked.add_argument("--truths", type=int, default=1000)
    asked.add_argument("--seeds", type=int, default=200)
    asked.add_argument("--station", choices=STATIONS, default=ONE_BOX)
    given = asked.parse_args(arguments)
    say_prior(given.truths, given.station)
    for name in fixed_of(given.station):
        say_fixed(name, given.seeds, given.station)
    return 0


def say_prior(truths: int, station: str) -> None:
    """Judge truths drawn from what is held beforehand."""
    places, late = [], 0
    for number in range(truths):
        judged = judge_prior(number, station)
        places.append(judged.place)
        late += judged.is_late
        if number % 100 == 99 or number == truths - 1:
            within = np.mean([0.1 <= place <= 0.9 for place in places])
            tails = (
                np.mean([place < 0.1 for place in places]),
                np.mean([place > 0.9 for place in places]),
            )
            say(
                f"truths {len(places)}: 80 % interval covers {within:.3f}, "
                f"tails {tails[0]:.3f} {tails[1]:.3f}, late {late}",
            )


def say_fixed(name: str, seeds: int, station: str) -> None:
    """Judge one fixed truth; what stands first, where an end or a recharge told it."""
    rows = [judge_fixed(name, number, station) for number in range(seeds)]
    told = [row for row in rows if row.is_told]
    first = np.mean([row.is_first for row in told]) if told else np.nan
    keeps, late = (
        np.mean([getattr(row, each) for row in rows]) for each in ("keeps_odds", "is_late")
    )
    say(
        f"{name}: told in {len(told)} of {len(rows)}, first {first:.3f}, keeps prior odds"
        f" {keeps:.3f}, late {late:.3f}"
    )
    missed = [row.top for row in told if not row.is_first]
    if missed:
        say("   missed:", {top: missed.count(top) for top in sorted(set(missed))})
    if keeps < 1:
        say("   lost:", [row.shares for row in rows if not row.keeps_odds][:5])


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
