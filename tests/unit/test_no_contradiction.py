"""What is said of fifty made kits is read for contradictions with their own runs."""

from __future__ import annotations

import re
from datetime import datetime, timedelta
from math import inf
from typing import Any

import pytest
import tomli_w

from model.advice.advice import Counsel, cures, rerun
from model.engine.clocks import board_limits
from model.engine.comparison import Comparison, simulate
from model.engine.run import StationRun
from model.export.outcome_data import as_data
from model.files.scenario_file import parse_scenario
from model.results.tie_point import first_end_h
from model.verdict.order import ranking
from model.verdict.table import verdict
from tests.unit.made_kits import made_kit

SEEDS = range(50)
DAY_NUMBER = re.compile(r"\b(?:night|day) \d|first night")


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
