"""One minute of a run, and the stretches of one ability, against the run's own arrays."""

from __future__ import annotations

from itertools import pairwise

import numpy as np
import pytest

from model.engine.comparison import simulate
from model.engine.run import StationRun
from model.results.minute import moment, stretches
from tests.window.day_scenes import four_stations, scene


@pytest.fixture(scope="module")
def runs() -> list[StationRun]:
    found = simulate(scene(*four_stations(), day={"sky": 0.72})).runs
    assert all(run is not None for run in found)
    return [run for run in found if run is not None]


def test_the_uses_of_a_minute_add_up_to_its_load(runs: list[StationRun]) -> None:
    for run in runs:
        for step in (0, 700, 1100, run.clock.steps - 1):
            here = moment(run, step)
            assert sum(ampere for _, ampere in here.use_a) == pytest.approx(here.load_a)
            assert [ampere for _, ampere in here.use_a] == sorted(
                (ampere for _, ampere in here.use_a), reverse=True
            )
            assert here.load_w == pytest.approx(here.load_a * run.flow.bus_v[step])
            assert here.panel_w <= here.panel_able_w + 1e-9


def test_the_stretches_cover_the_run_and_follow_what_held(runs: list[StationRun]) -> None:
    for run in runs:
        cut = stretches(run)
        assert (cut[0].begin_step, cut[-1].end_step) == (0, run.clock.steps)
        for before, after in pairwise(cut):
            assert before.end_step == after.begin_step
            assert before.phase != after.phase
        for stretch in cut:
            steps = slice(stretch.begin_step, stretch.end_step)
            able = run.abilities
            assert np.all(able.full_power[steps] == (stretch.phase == "full power"))
            assert np.all(able.receive[steps] == (stretch.phase != "silent"))


def test_the_first_stretch_without_full_power_begins_when_the_clock_ends(
    runs: list[StationRun],
) -> None:
    ended = [run for run in runs if run.clocks.full_power.until is not None]
    assert ended
    for run in ended:
        first = next(each for each in stretches(run) if each.phase != "full power")
        assert run.clock.at(first.begin_step) == run.clocks.full_power.until


def test_a_plan_that_sends_nothing_knows_only_receive_and_silence() -> None:
    listening = [{"start": "00:00", "end": "24:00", "activity": "watch"}]
    for run in simulate(scene(plan=listening, day={"days": 1})).runs:
        assert run is not None
        assert {stretch.phase for stretch in stretches(run)} <= {"receive", "silent"}
