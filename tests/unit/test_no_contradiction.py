"""What is said of fifty made kits is read for contradictions with their own runs.

Verdict, table and advice of forty of them, and the sizes of six, are read with the other tests;
``python -m tests.unit.test_no_contradiction`` reads all of all fifty.
"""

from __future__ import annotations

import re
import sys
from datetime import datetime, timedelta
from functools import lru_cache
from math import inf
from traceback import format_exc
from typing import Any

import pytest
import tomli_w

from app.pages.size.sold import parts_sold
from model.advice.advice import Counsel, cures, rerun, under_sky
from model.editing.resize import Pair, with_trial_pair
from model.engine.clocks import board_limits
from model.engine.comparison import Comparison, simulate, why_withheld
from model.engine.first_end import CLOCK_NAMES
from model.engine.run import StationRun
from model.export.outcome_data import as_data
from model.files.scenario_file import parse_scenario
from model.library.sold_sizes import MARGIN_SHARE
from model.results.tie_point import first_end_h
from model.scenario.scenario import Scenario
from model.scenario.station import Station
from model.sizing.smallest import STEP_SHARE, Size, StationSizes, size
from model.sky.timeline import timeline
from model.verdict.order import ranking
from model.verdict.table import verdict
from tests.unit.made_kits import made_kit

ALL = range(50)
SEEDS = ALL[:40]
# One with a panel that the trip does not need, one that no panel helps, and three stations.
SIZED = (2, 3, 7, 9, 11, 12)
DAY_NUMBER = re.compile(r"\b(?:night|day) \d|first night")


@lru_cache(maxsize=2)
def made(seed: int) -> Comparison:
    return simulate(parse_scenario(tomli_w.dumps(made_kit(seed)).encode()))


def moments(value: Any) -> list[datetime]:
    """Return every time in plain data."""
    if isinstance(value, dict):
        return [at for each in value.values() for at in moments(each)]
    if isinstance(value, list):
        return [at for each in value for at in moments(each)]
    if isinstance(value, str) and re.match(r"\d{4}-\d\d-\d\dT", value):
        return [datetime.fromisoformat(value)]
    return []


@pytest.mark.parametrize("seed", SEEDS)
def test_no_moment_lies_outside_the_run_and_no_day_is_numbered(seed: int) -> None:
    comparison = made(seed)
    clock = comparison.clock
    end = clock.at(clock.steps)
    for at in moments(as_data(comparison, Counsel((), (), (), ()))):
        assert clock.start <= at <= end
    said = verdict(comparison)
    texts = [*said.sentences, *(text for row in said.rows for text in row.texts)]
    names = {f"{clock.start + timedelta(days=day):%a}" for day in range(clock.days + 1)}
    for text in texts:
        assert not DAY_NUMBER.search(text), text
        named = re.findall(r"\b(Mon|Tue|Wed|Thu|Fri|Sat|Sun) \d\d:\d\d", text)
        assert set(named) <= names, text


@pytest.mark.parametrize("seed", SEEDS)
def test_no_cause_contradicts_the_trace(seed: int) -> None:
    for run in made(seed).runs:
        if run is not None:
            for clock_name in ("full_power", "reduced_power", "receive"):
                _cause_is_in_the_trace(run, clock_name)


def _cause_is_in_the_trace(run: StationRun, clock_name: str) -> None:
    clock = getattr(run.clocks, clock_name)
    if clock.until is None:
        assert clock.cause is clock.because is clock.drain is clock.back_at is None
        return
    step = round(clock.hours / run.clock.step_h)
    if clock.cause == "empty":
        # At the floor: less is left than the planned load takes in this minute, rate loss and all.
        assert run.usable_ah[step] < 0.05 * run.inputs.bounds.full_ah
    if clock.cause == "board":
        assert run.abilities.board_trips[step] or not run.flow.loads_on[step]
    if clock.cause == "sag" and run.flow.radio_on[step]:
        assert not run.abilities.board_trips[step]
    if clock.because == "frost":
        assert not run.inputs.climate.may_charge[:step].all()


@pytest.mark.parametrize("seed", SEEDS)
def test_power_lowered_by_the_protection_is_not_put_down_to_the_volts(seed: int) -> None:
    comparison = made(seed)
    said = " ".join(verdict(comparison).sentences)
    lowered = [
        bool(board_limits(run.inputs, run.flow)[each.step])
        for run in comparison.runs
        if run is not None
        for each in run.trace.reduced
    ]
    assert ("while the voltage is low" in said or "the voltage is too low" in said) == (
        not all(lowered)
    )
    assert not any(lowered) or "the battery's protection opens at" in said


@pytest.mark.parametrize("seed", SEEDS)
def test_a_remedy_that_lasts_does_last_when_applied(seed: int) -> None:
    comparison = made(seed)
    order = ranking(comparison)
    if not order or order[0][0] == inf:
        return
    index = order[0][1]
    run = comparison.runs[index]
    assert run is not None
    found = cures(comparison, index)
    assert [cure.gained_h for cure in found] == sorted((c.gained_h for c in found), reverse=True)
    for cure in found:
        then_h = first_end_h(rerun(cure.action.changed, index))
        assert then_h == pytest.approx(first_end_h(run) + cure.gained_h, abs=1e-9)


@pytest.mark.parametrize("seed", SIZED)
def test_a_size_holds_when_applied_and_one_step_smaller_does_not(seed: int) -> None:
    scenario = made(seed).scenario
    for index, sizes in enumerate(size(scenario, parts_sold())):
        full = scenario.stations[index].model_copy(update={"start_fraction": 1.0})
        _one_answer(scenario, index, full, sizes.battery, "battery")
        _one_answer(scenario, index, full, sizes.trip_panel, "panel")
        _all_moments(scenario, index, sizes)
        # The panel to go on with gets through the trip too, and is no smaller.
        if sizes.panel.size_w:
            assert sizes.panel.size_w >= (sizes.trip_panel.size_w or 0.0) / (1 + STEP_SHARE)
            assert not ends_of(scenario, index, of_size(full, sizes.panel.size_w, "panel"))
        # A kit that gets through as it is needs no larger battery and no larger panel.
        if why_withheld(scenario, index) is None and not ends_of(scenario, index, full):
            own = Pair.of(full)
            assert (sizes.battery.size_ah or inf) <= own.capacity_ah * (1 + STEP_SHARE)
            assert full.panel is None or (
                sizes.trip_panel.size_w is not None
                and sizes.trip_panel.size_w <= own.rated_w * (1 + STEP_SHARE)
            )


def _one_answer(scenario: Scenario, index: int, full: Station, found: Size, slot: str) -> None:
    """Apply the least, one step less, and the size to take, each in a run of its own."""
    least = found.size_ah if slot == "battery" else found.size_w
    if least is None:
        assert found.reason
        assert found.choice is None
        if why_withheld(scenario, index) is None and getattr(full, slot) is not None:
            now = Pair.of(full)
            own = now.capacity_ah if slot == "battery" else now.rated_w
            for by in (1.0, 8.0):
                assert ends_of(scenario, index, of_size(full, own * by, slot))
        return
    assert not ends_of(scenario, index, of_size(full, least, slot))
    if found.smaller_fails is not None:
        ended = ends_of(scenario, index, of_size(full, least / (1 + STEP_SHARE), slot))
        assert found.smaller_fails.at == min(ended)
    if found.choice is not None:
        taken = of_size(full, found.choice.size_ah_or_w, slot)
        assert found.choice.size_ah_or_w >= (1 + MARGIN_SHARE) * least * (1 - 1e-6)
        assert not ends_of(scenario, index, taken)
        for word, fails in found.choice.skies:
            ended = ends_of(under_sky(scenario, word), index, taken)
            assert (fails and fails.at) == min(ended, default=None)


def _all_moments(scenario: Scenario, index: int, sizes: StationSizes) -> None:
    """Hold every moment that a size names to the trip."""
    clock = timeline(scenario.site, scenario.day)
    end = clock.at(clock.steps)
    names = {f"{clock.start + timedelta(days=day):%a}" for day in range(clock.days + 1)}
    for found in (sizes.battery, sizes.trip_panel, sizes.panel):
        told = [found.smaller_fails, *(fails for _, fails in found.choice.skies)] if (
            found.choice
        ) else [found.smaller_fails]  # fmt: skip
        for fails in told:
            assert fails is None or clock.start <= fails.at <= end
        words = " ".join([found.reason, *(fails.words for fails in told if fails)])
        assert set(re.findall(r"\b(Mon|Tue|Wed|Thu|Fri|Sat|Sun) \d\d:\d\d", words)) <= names
        assert "day before" not in words


def of_size(station: Station, size: float, slot: str) -> Station:
    """Return a station with a battery of so many Ah or a panel of so many watts."""
    now = Pair.of(station)
    sized = Pair(size, now.rated_w) if slot == "battery" else Pair(now.capacity_ah, size)
    return with_trial_pair(station, sized)


def ends_of(scenario: Scenario, index: int, station: Station) -> list[datetime]:
    """Return when anything that a size must avoid happens in a run of a station."""
    stations = (*scenario.stations[:index], station, *scenario.stations[index + 1 :])
    run = rerun(scenario.model_copy(update={"stations": stations}), index)
    untils = [getattr(run.clocks, name).until for name in CLOCK_NAMES]
    return [at for at in (*untils, run.reserve_crossed_at) if at is not None]


CHECKS = (
    test_no_moment_lies_outside_the_run_and_no_day_is_numbered,
    test_no_cause_contradicts_the_trace,
    test_power_lowered_by_the_protection_is_not_put_down_to_the_volts,
    test_a_remedy_that_lasts_does_last_when_applied,
    test_a_size_holds_when_applied_and_one_step_smaller_does_not,
)


def main() -> int:
    """Read everything said of all fifty kits, and say what contradicts."""
    found = 0
    for seed in ALL:
        for check in CHECKS:
            try:
                check(seed)
            except AssertionError:
                found += 1
                sys.stdout.write(f"kit {seed}: {check.__name__}\n{format_exc(limit=-1)}")
                sys.stdout.flush()
    sys.stdout.write(f"{found} contradictions in {len(ALL)} kits\n")
    return min(found, 1)


if __name__ == "__main__":
    raise SystemExit(main())
