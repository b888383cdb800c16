"""Battery low: every time is the run's that begins there with that charge, without sun."""

from __future__ import annotations

from datetime import datetime, timedelta
from itertools import pairwise

import pytest

from model.advice.advice import rerun
from model.advice.kept_charge import charge_to_keep
from model.advice.low_battery import (
    LIMIT_DAYS,
    Noticed,
    begun_at,
    hours_from,
    low_battery,
    told_at,
    told_up_ah,
)
from model.advice.noticed import moments, told
from model.engine.comparison import simulate
from model.scenario.scenario import Scenario
from tests.unit.scenario_maker import AMPLIFIER, BATTERY, NET, RADIO, SMALL_RADIO, WATCH, scenario

NIGHT = {"start": "21:00", "end": "06:00", "activity": "watch"}
STILL = {"panel": None, "controller": None, "leads": ()}


def question(**station: object) -> Scenario:
    return scenario(station=dict(station), plan=(WATCH, NET, NIGHT), day={"start_hour": 8.0})


def at(given: Scenario, hour: int, days: int = 0) -> datetime:
    start = simulate(given).clock.start
    return start.replace(hour=hour, minute=0) + timedelta(days=days)


@pytest.mark.parametrize("left_ah", [1.5, 4.0])
@pytest.mark.parametrize("hour", [20, 23])
def test_an_end_is_that_of_a_scenario_that_begins_there(hour: int, left_ah: float) -> None:
    given = question()
    hours = hours_from(given, 0, at(given, hour), left_ah)
    begun = begun_at(given, 0, at(given, hour), left_ah)
    receive = simulate(begun).runs[0].clocks.receive
    assert hours == receive.hours
    assert begun.stations[0].panel is None
    assert begun.stations[0].start_fraction == pytest.approx(left_ah / 20.0)
    assert simulate(begun).clock.start == at(given, hour)


def test_without_losses_it_lasts_charge_over_current() -> None:
    # 3 Ah at 0.75 A are 4 h; 25 °C locks nothing up and the cut-off is reached last.
    given = scenario(
        station={
            **STILL,
            "radio": {**RADIO, "receive_min_v": None},
            "battery": {**BATTERY, "resistance_ohm": 0.0, "cutoff_v": 8.0},
        },
        plan=({"start": "00:00", "end": "24:00", "activity": "watch"},),
        day={"low_c": 25.0, "high_c": 25.0},
    )
    assert hours_from(given, 0, at(given, 20), 3.0) == pytest.approx(4.0, abs=0.1)


def test_neither_sun_nor_a_charger_nor_a_full_computer_helps() -> None:
    helped = question(
        panel={"rated_w": 500.0}, chargers=({"name": "mains", "current_a": 20.0},),
        laptop={"power_w": 10.0, "own_battery_wh": 60.0},
    )  # fmt: skip
    bare = question(panel=None, laptop={"power_w": 10.0})
    noon = at(helped, 12)
    assert hours_from(helped, 0, noon, 3.0) == hours_from(bare, 0, noon, 3.0)


def test_the_weather_is_that_of_the_dates_from_then_on() -> None:
    given = scenario(day={"days": 3, "low_c": (12.0, 2.0, -8.0), "high_c": (20.0, 9.0, -1.0)})
    begun = begun_at(given, 0, at(given, 3, days=1), 3.0)
    assert begun.day.low_c == (2.0, -8.0)
    late = begun_at(given, 0, at(given, 3, days=5), 3.0)
    assert late.day.low_c == (-8.0,)


def boosted(**more: object) -> Scenario:
    return question(
        radio=SMALL_RADIO, amplifier=AMPLIFIER, panel=None,
        extras=({"name": "lamp", "power_w": 3.0},), **more,
    )  # fmt: skip


def test_steps_stand_in_the_order_of_what_is_lost() -> None:
    given = boosted(laptop={"power_w": 8.0})
    run = rerun(given, 0)
    found = low_battery(given, 0, moments(run), 4.0)
    assert [step.key for step in found.steps] == [
        "computer_off+extras_off", "without_amplifier", "silent", "short_watch",
    ]  # fmt: skip
    assert found.steps[0].words == "Computer and lamp off"
    assert found.together is not None
    for place in range(len(found.noticed)):
        ends = [step.ends[place] for step in found.steps]
        longest = max(end.hours for end in ends if end is not None and end.hours is not None)
        together = found.together.ends[place]
        assert together is not None
        assert together.hours is None or together.hours >= longest


def test_together_is_a_run_with_every_step_taken() -> None:
    given = boosted()
    run = rerun(given, 0)
    found = low_battery(given, 0, moments(run)[:1], 2.0)
    assert found.together is not None
    changed = given
    station = changed.stations[0].model_copy(update={"amplifier": None, "extras": ()})
    plan = tuple(
        block.model_copy(update={
            "transmit_share": 0.0, "listen_share": 5 / 60, "activity": "watch",
        })
        for block in given.plan
    )  # fmt: skip
    # The watch of five minutes is kept in what was a net as well: it is a watch now.
    changed = changed.model_copy(update={"stations": (station,), "plan": plan})
    hours = hours_from(changed, 0, found.noticed[0].at, 2.0)
    assert found.together.ends[0].hours == hours


def test_a_step_that_shortens_is_left_out() -> None:
    # The leanest way gains; none of the ends shown lies before the one without a change.
    for given in (question(), boosted(), question(panel=None)):
        found = low_battery(given, 0, moments(rerun(given, 0)), 3.0)
        for step in found.steps:
            for end, base in zip(step.ends, found.no_change.ends, strict=True):
                if end is not None and end.hours is not None:
                    assert base is not None
                    assert base.hours is not None
                    assert end.hours >= base.hours


def test_nothing_to_switch_off_leaves_no_steps() -> None:
    lean = scenario(
        station=STILL,
        plan=({"start": "00:00", "end": "24:00", "activity": "watch", "listen_share": 0.05},),
    )
    found = low_battery(lean, 0, moments(rerun(lean, 0)), 2.0)
    assert found.steps == ()
    assert found.together is None


def test_what_lasts_beyond_the_limit_has_no_hour() -> None:
    given = question()
    noticed = (Noticed("at dusk", at(given, 20)),)
    found = low_battery(given, 0, noticed, 20.0)
    assert found.together is not None
    assert found.together.ends[0].hours is None
    begun = begun_at(given, 0, noticed[0].at, 20.0)
    assert begun.day.days == LIMIT_DAYS


def test_the_charge_to_act_at_is_not_below_what_is_kept() -> None:
    run = rerun(question(), 0)
    keep_ah = charge_to_keep(question(), 0, run).keep_ah
    told_ah = told_up_ah(keep_ah)
    assert keep_ah <= told_ah < keep_ah + 0.1
    assert told_up_ah(3.2) == 3.2


def test_it_is_noticed_at_dusk_after_the_net_and_at_three() -> None:
    # Civil dusk at 46 N, 11 E on 10 June is near 21:40 summer time (from memory of almanacs).
    found = moments(rerun(question(), 0))
    assert [each.words for each in found] == ["after the net", "at dusk", "at 03:00"]
    assert f"{found[0].at:%H:%M}" == "21:00"
    assert abs((found[1].at - at(question(), 21)) - timedelta(minutes=40)) < timedelta(minutes=12)
    assert found[1].at.minute % 5 == 0
    assert all(one.at < other.at for one, other in pairwise(found))
    assert told(found[2]) == "at 03:00"
    assert told(found[0]) == "after the net, 21:00"
    quiet = scenario(plan=(WATCH, NIGHT))
    assert [each.words for each in moments(rerun(quiet, 0))] == ["at dusk", "at 03:00"]
    bright = scenario(site={"latitude_deg": 70.0}, plan=(WATCH,))
    assert [each.words for each in moments(rerun(bright, 0))] == ["at 03:00"]


def test_a_time_from_guesses_is_told_early_rather_than_late() -> None:
    given = question()
    noticed = Noticed("at dusk", at(given, 20))
    assert f"{told_at(noticed, 2.3, about=False)[0]:%H:%M}" == "22:18"
    assert f"{told_at(noticed, 2.3, about=True)[0]:%H:%M}" == "22:10"
    assert told_at(noticed, 25.0, about=False)[1] == 1
