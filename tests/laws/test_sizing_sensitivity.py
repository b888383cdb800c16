"""Each lever is a rerun with one number moved, and the strongest come first."""

from __future__ import annotations

from math import inf

import pytest

from model.editing.field_facts import field_at
from model.editing.paths import value_at, with_value
from model.engine.comparison import simulate
from model.sizing.sensitivity import AIR_C, SKY_INDEX, sensitivity
from model.sizing.smallest import smallest_battery
from tests.laws.sample_kits import one_box, question, small_kit


def dark():
    small, large = small_kit(), one_box()
    del small["panel"], large["panel"]
    return question(small, large, days=2)


@pytest.fixture(scope="module")
def scenario():
    return dark()


@pytest.fixture(scope="module")
def told(scenario):
    return sensitivity(scenario, 1)


def result(scenario):
    run = simulate(scenario, step_min=10.0).runs[1]
    clocks = (run.clocks.full_power, run.clocks.reduced_power, run.clocks.receive)
    ends = [clock.hours for clock in clocks if clock.hours is not None]
    return min(ends, default=inf), run.lowest.value


def agrees(found, scenario):
    first_end_h, lowest = result(scenario)
    assert found.first_end_h == first_end_h
    assert found.lowest_fraction == pytest.approx(lowest, rel=1e-6)
    sized = smallest_battery(scenario, 1)
    expected = sized.station_kg if sized.size_ah is not None else inf
    assert found.needed_kg == pytest.approx(expected, rel=5e-3)


def test_the_station_as_it_is(scenario, told):
    agrees(told.as_it_is, scenario)


MOVED = ["radio.receive_a", "battery.tested_fraction", "radio.supply_min_v", "leads.0.one_way_m"]


@pytest.mark.parametrize("path", MOVED)
def test_a_lever_is_a_rerun_at_both_ends_of_the_spread(scenario, told, path):
    path = f"stations.1.{path}"
    lever = next(one for one in told.levers if one.path == path)
    spread, value = field_at(path).spread, value_at(scenario, path)
    agrees(lever.low, with_value(scenario, path, value / (1 + spread)))
    agrees(lever.high, with_value(scenario, path, value * (1 + spread)))


def test_plan_and_sky_are_levers_too(scenario, told):
    levers = {lever.path: lever for lever in told.levers}
    spread = field_at("plan.0.transmit_share").spread
    plan = tuple(
        block.model_copy(update={"transmit_share": block.transmit_share * (1 + spread)})
        for block in scenario.plan
    )
    share = levers["plan.0.transmit_share"]
    agrees(share.high, with_value(scenario, "plan", plan))
    cold = with_value(scenario, "day.low_c", (scenario.day.low_c[0] - AIR_C,))
    cold = with_value(cold, "day.high_c", (scenario.day.high_c[0] - AIR_C,))
    agrees(levers["day.low_c"].low, cold)
    assert SKY_INDEX > 0
    assert levers["day.sky"].low.first_end_h == levers["day.sky"].high.first_end_h


def test_more_rf_power_moves_the_first_end(told):
    power = next(lever for lever in told.levers if lever.path == "plan.0.rf_w")
    assert power.low.first_end_h >= power.high.first_end_h


@pytest.mark.parametrize("measure", ["first_end", "lowest_charge", "needed_kg"])
def test_the_strongest_come_first_and_all_move_something(told, measure):
    strongest = told.strongest(measure)
    swings = [told.swing(lever, measure) for lever in strongest]
    assert 0 < len(strongest) <= 8
    assert swings == sorted(swings, reverse=True)
    assert swings[-1] > 0
    rest = [lever for lever in told.levers if lever not in strongest]
    assert all(told.swing(lever, measure) <= swings[-1] for lever in rest)


def test_receive_current_decides_the_night(told):
    assert told.strongest("first_end")[0].path == "stations.1.radio.receive_a"


def test_a_mass_moves_the_mass_alone(told):
    lever = next(one for one in told.levers if one.path == "stations.1.radio.mass_kg")
    assert lever.high.needed_kg - told.as_it_is.needed_kg == pytest.approx(
        3.2 * field_at("stations.1.radio.mass_kg").spread
    )
    assert told.swing(lever, "first_end") == 0
    assert told.swing(lever, "lowest_charge") == 0


def test_a_station_with_an_error_has_no_levers():
    plan = [
        {"start": "00:00", "end": "24:00", "activity": "slots", "rf_w": 5.0, "transmit_share": 0.9}
    ]
    with pytest.raises(ValueError, match=r"\w"):
        sensitivity(question(small_kit(), plan=plan), 0)
