"""What to switch off first: every gain is a rerun's, and the moment to act leaves a night."""

from __future__ import annotations

import math

import pytest

from model.advice.actions import habits
from model.advice.advice import rerun
from model.advice.load_shedding import hours_alone, ladder
from model.advice.minimum_watch import last_resorts, leanest, unbroken_watch
from model.results.tie_point import first_end_h
from model.scenario.scenario import Scenario
from tests.unit.scenario_maker import AMPLIFIER, BATTERY, NET, SMALL_RADIO, WATCH, scenario

NIGHT_WATCH = {"start": "21:00", "end": "06:00", "activity": "watch"}
SMALL = {**BATTERY, "capacity_ah": 8.0}


def failing() -> Scenario:
    return scenario(
        station={"battery": SMALL, "panel": None, "controller": None},
        plan=(WATCH, NET, NIGHT_WATCH),
    )


def lasting() -> Scenario:
    return scenario(station={"battery": {**BATTERY, "capacity_ah": 80.0}})


def test_hours_gained_are_those_of_a_rerun():
    question = failing()
    steps = ladder(question, 0)
    assert steps.basis == "first end"
    before_h = first_end_h(rerun(question, 0))
    assert steps.base_h == before_h
    changed = {m.key: m.changed for m in (*habits(question, 0), *last_resorts(question, 0))}
    assert {rung.key for rung in steps.rungs} == set(changed)
    for rung in steps.rungs:
        end_h = first_end_h(rerun(changed[rung.key], 0))
        assert rung.lasts == (end_h == math.inf)
        assert rung.gained_h == pytest.approx(min(end_h, 24.0) - before_h)


def test_the_best_comes_first():
    gains = [rung.gained_h for rung in ladder(failing(), 0).rungs]
    assert gains == sorted(gains, reverse=True)
    assert gains[0] > gains[-1] >= 0


def test_receiving_less_gains_more_than_sending_less():
    # Receive current decides the night (common practice, no source): 0.75 A for 20 h is 15 Ah,
    # a net of one hour at a fifth of the time is 1.5 Ah.
    by_key = {rung.key: rung.gained_h for rung in ladder(failing(), 0).rungs}
    assert by_key["short_watch"] > by_key["tenth_power"]


def test_where_nothing_ends_the_battery_alone_is_counted():
    question = lasting()
    steps = ladder(question, 0)
    assert first_end_h(rerun(question, 0)) == math.inf
    assert steps.basis == "battery alone"
    assert steps.base_h == hours_alone(question, 0)
    for measure in habits(question, 0):
        rung = next(rung for rung in steps.rungs if rung.key == measure.key)
        assert rung.end_h == (hours_alone(measure.changed, 0) or 720.0)


def test_what_is_kept_is_the_reserve_and_a_lean_night():
    # The lean station draws 0.75 A for 5 minutes of each hour and nothing else; with nights shorter
    # than twelve hours, twelve count: 0.75 * 5 / 60 * 12 = 0.75 Ah. The reserve is 0.2 * 8 Ah.
    steps = ladder(failing(), 0)
    assert steps.lean_night_ah == pytest.approx(0.75)
    assert steps.keep_ah == pytest.approx(0.75 + 1.6)
    assert steps.act_when_used_ah == pytest.approx(8.0 - 2.35)


def test_cold_that_locks_more_than_the_reserve_is_kept_instead():
    cold = scenario(
        station={"battery": {**SMALL, "kept": "open"}}, day={"low_c": -20.0, "high_c": -20.0}
    )
    run = rerun(cold, 0)
    locked = float(run.inputs.climate.cold_floor_fraction.max())
    assert locked > 0.2
    steps = ladder(cold, 0)
    assert steps.keep_ah - steps.lean_night_ah == pytest.approx(locked * 8.0)


def test_a_battery_too_small_for_a_night_says_at_once():
    tiny = scenario(station={"battery": {**BATTERY, "capacity_ah": 0.5}, "panel": None})
    assert ladder(tiny, 0).act_when_used_ah == 0.0


def test_the_amplifier_left_on_is_a_rung():
    boosted = scenario(
        station={
            "radio": SMALL_RADIO,
            "amplifier": {**AMPLIFIER, "in_session": "operate", "out_of_session": "operate"},
            "battery": SMALL,
            "panel": None,
        },
        plan=(WATCH, NET, NIGHT_WATCH),
    )
    keys = [rung.key for rung in ladder(boosted, 0).rungs]
    assert {"amplifier_off", "amplifier_standby", "without_amplifier"} <= set(keys)


def test_last_resorts_change_only_the_plan():
    question = failing()
    deaf, silent = last_resorts(question, 0)
    assert deaf.changed.stations == silent.changed.stations == question.stations
    assert all(b.listen_share == 0 for b in deaf.changed.plan if b.activity == "watch")
    assert not any(block.sends for block in silent.changed.plan)
    quiet = scenario(plan=(WATCH,))
    assert list(last_resorts(quiet, 0)) == []


def test_the_leanest_way_draws_a_short_watch_and_nothing_else():
    run = rerun(leanest(lasting(), 0), 0)
    receive_ah = run.sums.by_use_ah["receive"]
    assert receive_ah == pytest.approx(0.75 * 24 * 5 / 60)
    assert run.sums.load_ah == pytest.approx(receive_ah + run.sums.by_use_ah["controller"])


def test_an_unbroken_watch_lasts_capacity_over_current():
    # A 20 Ah battery, no loads but 0.75 A of receive and no floor at 25 °C: 26.7 h; rest volts
    # below the cut-off and the receive limit end it slightly earlier.
    still = scenario(
        station={"panel": None, "controller": None}, day={"low_c": 25.0, "high_c": 25.0}
    )
    hours = hours_alone(unbroken_watch(still), 0)
    assert 0.95 * 20 / 0.75 < hours <= 20 / 0.75
