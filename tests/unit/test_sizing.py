"""Smallest battery and panel: closed forms, proofs by rerun, reasons where nothing holds."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, timedelta

import numpy as np
import pytest

from app.state.starting import starter_library
from model.editing.paths import value_at, with_value
from model.editing.resize import scaled_station
from model.engine.batch import run_batch
from model.engine.comparison import simulate
from model.engine.fleet import fleet_of
from model.engine.scaling import scaled_fleet
from model.library.sold_sizes import sizes_to_take
from model.scenario.station import Battery
from model.sizing.smallest import (
    STEP_SHARE,
    saved_kg,
    search_sizes,
    size,
    smallest_battery,
    smallest_panel,
    smallest_trip_panel,
)
from tests.laws.sample_kits import one_box, question, small_kit
from tests.planned import station_inputs

WATCH = [{"start": "00:00", "end": "24:00", "activity": "watch"}]
PLAIN_DAY = {"low_c": 25.0, "high_c": 25.0}


def ideal_kit(**battery):
    """Nothing is lost anywhere: Ah in are Ah out."""
    return {
        "name": "ideal",
        "radio": {"receive_a": 0.5, "key_down": [[5.0, 1.0], [20.0, 2.0]]},
        "battery": {"chemistry": "LFP", "capacity_ah": 30.0, "mass_kg": 3.0} | battery,
    }


@pytest.mark.parametrize("reserve", [0.0, 0.2, 0.5])
@pytest.mark.parametrize(("tested", "count", "days"), [(1.0, 1, 1), (0.8, 2, 3)])
def test_without_sun_the_smallest_battery_is_the_plans_ah(reserve, tested, count, days):
    kit = ideal_kit(tested_fraction=tested, count=count) | {"reserve_fraction": reserve}
    kit["start_fraction"] = 0.3  # sizes are found from full
    found = smallest_battery(question(kit, plan=WATCH, days=days, **PLAIN_DAY), 0)
    assert found.size_ah == pytest.approx(0.5 * 24 * days / (1 - reserve) / tested, rel=1e-3)
    assert found.part_kg == pytest.approx(3.0 * found.size_ah / 30.0)
    assert found.energy_wh == pytest.approx(found.size_ah * 4 * 3.2)


def test_sending_counts_by_share_and_current_factor():
    # c = 1 for data: half the hour at 2 A and half at 0.5 A, the rest at 0.5 A.
    plan = [
        {"start": "00:00", "end": "01:00", "activity": "arq", "rf_w": 20.0, "transmit_share": 0.5},
        {"start": "01:00", "end": "24:00", "activity": "watch"},
    ]
    found = smallest_battery(question(ideal_kit(), plan=plan, **PLAIN_DAY), 0)
    assert found.size_ah == pytest.approx(0.5 * 23 + 0.5 * 2.0 + 0.5 * 0.5, rel=1e-3)


@pytest.mark.parametrize("start_hour", [0.0, 9.5, 19.0])
@pytest.mark.parametrize("kind", ["mppt", "pwm"])
def test_without_losses_the_smallest_panel_balances_the_day_in_ah(start_hour, kind):
    kit = ideal_kit() | {
        "panel": {"rated_w": 60.0, "vmp_v": 18.0, "voc_v": 22.0},
        "controller": {"kind": kind},
    }
    scenario = question(kit, plan=WATCH, start_hour=start_hour, **PLAIN_DAY)
    found = smallest_panel(scenario, 0)
    scaled = with_value(scenario, "stations.0.panel.rated_w", found.size_w)
    run = day_after_a_day(scaled)
    last = slice(-1440, None)
    given_ah = run.flow.panel_able_a[last].sum() / 60
    assert given_ah == pytest.approx(0.5 * 24, rel=0.01)


def day_after_a_day(scenario):
    earlier = scenario.day.date - timedelta(days=1)
    longer = with_value(scenario, "day.days", scenario.day.days + 1)
    longer = with_value(longer, "day.date", earlier)
    return simulate(with_value(longer, "stations.0.start_fraction", 1.0)).runs[0]


@pytest.mark.parametrize("kit", [small_kit, one_box])
def test_a_panel_holds_and_the_next_smaller_does_not(kit):
    scenario = question(kit(), days=2)
    found = smallest_panel(scenario, 0)
    assert balanced(scenario, found.size_w)
    assert not balanced(scenario, found.size_w / (1 + STEP_SHARE))
    assert found.smaller_fails is not None


def balanced(scenario, rated_w):
    """Told from two runs alone, without the code under test."""
    changed = with_value(scenario, "stations.0.panel.rated_w", rated_w)
    run = day_after_a_day(changed)
    if not (gets_through(changed) and reaches_nothing(run)):
        return False
    fraction = run.fraction
    for day in range(1, scenario.day.days + 1):
        hours = fraction[day * 1440 : (day + 1) * 1440 + 1]
        came_full = 1 - hours.max() <= 0.01 * (1 - hours.min())
        if hours[-1] < hours[0] - 1e-6 and not came_full:
            return False
    return True


def gets_through(scenario):
    """Whether the trip itself, from full, reaches no limit and keeps its reserve."""
    return reaches_nothing(simulate(with_value(scenario, "stations.0.start_fraction", 1.0)).runs[0])


def reaches_nothing(run):
    clocks = (run.clocks.full_power, run.clocks.reduced_power, run.clocks.receive)
    return all(clock.until is None for clock in clocks) and run.reserve_crossed_at is None


def test_the_panel_for_the_trip_gets_through_it_and_the_next_smaller_does_not():
    scenario = question(small_kit(), days=3)
    found = smallest_trip_panel(scenario, 0)
    path = "stations.0.panel.rated_w"
    assert gets_through(with_value(scenario, path, found.size_w))
    assert not gets_through(with_value(scenario, path, found.size_w / (1 + STEP_SHARE)))
    assert found.size_w < smallest_panel(scenario, 0).size_w


def test_a_trip_that_the_battery_bears_needs_no_panel():
    # 0.5 A for 24 h are 12 Ah: of 30 Ah down to no reserve none has to come from the sun.
    kit = ideal_kit() | {"panel": {"rated_w": 60.0, "mass_kg": 2.0}, "reserve_fraction": 0.0}
    scenario = question(kit, plan=WATCH, **PLAIN_DAY)
    found = smallest_trip_panel(scenario, 0)
    assert found.size_w == 0
    assert found.part_kg == 0
    assert smallest_panel(scenario, 0).size_w > 0


PARTS = starter_library().parts


def test_the_size_to_take_is_the_next_of_the_library_at_least_2_percent_above_the_least():
    # By hand: 24 h at 0.4 A with a fifth in reserve are 12 Ah, and of 10 Ah a kilogram 1.2 kg.
    kit = ideal_kit(tested_fraction=1.0) | {"reserve_fraction": 0.2}
    kit["radio"]["receive_a"] = 0.4
    found, *_ = size(question(kit, plan=WATCH, **PLAIN_DAY), PARTS)
    assert found.battery.size_ah == pytest.approx(12.0, rel=1e-3)
    # The library has LFP of 6, 10, 15, 24 and 30 Ah; AGM of 18 Ah are of another make.
    assert found.battery.choice.size_ah_or_w == 15.0
    assert found.battery.choice.is_listed
    assert found.battery.choice.part_kg == pytest.approx(1.5)
    assert found.battery.choice.skies == ()


def test_beyond_the_library_the_size_to_take_is_rounded_up():
    # 24 h at 1.04 A with a fifth in reserve are 31.2 Ah; the largest LFP of the library has 30.
    kit = ideal_kit(tested_fraction=1.0) | {"reserve_fraction": 0.2}
    kit["radio"]["receive_a"] = 1.04
    found, *_ = size(question(kit, plan=WATCH, **PLAIN_DAY), PARTS)
    assert found.battery.size_ah == pytest.approx(31.2, rel=1e-3)
    assert found.battery.choice.size_ah_or_w == 35.0
    assert not found.battery.choice.is_listed


@pytest.mark.parametrize(
    ("least", "sizes"),
    # 14.8 x 1.02 = 15.1 is more than the 15 Ah of the library; 14.7 x 1.02 = 14.994 is not.
    [(14.7, [15.0, 24.0, 30.0, 35.0]), (14.8, [24.0, 30.0, 35.0]), (98.5, [150.0, 200.0])],
)
def test_sizes_come_in_what_can_be_bought_with_a_margin(least, sizes):
    own = Battery.model_validate({"chemistry": "LFP", "capacity_ah": 24.0})
    found = sizes_to_take(own, least, PARTS)
    assert [one.size_ah_or_w for _, one in zip(sizes, found, strict=False)] == sizes


def test_what_overcast_and_rain_do_to_the_size_to_take_is_what_a_run_says():
    scenario = question(small_kit(), days=3)
    found, *_ = size(scenario, PARTS)
    for part, choice in (
        ("battery.capacity_ah", found.battery.choice),
        ("panel.rated_w", found.trip_panel.choice),
    ):
        assert [word for word, _ in choice.skies] == ["overcast", "rain"]
        for word, fails in choice.skies:
            station = scenario.stations[0]
            by = choice.size_ah_or_w / value_at(scenario, f"stations.0.{part}")
            scaled = scaled_station(station, **{f"{part.split('.')[0]}_by": by})
            changed = with_value(with_value(scenario, "stations.0", scaled), "day.sky", (word,))
            assert gets_through(changed) is (fails is None)


def test_no_panel_is_offered_against_frost():
    kit = small_kit()
    kit["battery"]["capacity_ah"] = 40.0
    scenario = question(kit, plan=WATCH, low_c=-12.0, high_c=-4.0, days=2)
    found = smallest_panel(scenario, 0)
    assert found.size_w is None
    assert "frost" in found.reason


def test_no_panel_is_offered_against_the_horizon():
    scenario = question(one_box(), days=2)
    walled = with_value(scenario, "site.horizon", ((0.0, 90.0), (359.0, 90.0)))
    found = smallest_panel(walled, 0)
    assert found.size_w is None
    assert "horizon" in found.reason


def test_no_panel_is_offered_in_the_polar_night():
    scenario = with_value(question(small_kit(), date=date(2027, 12, 20)), "site.latitude_deg", 78.0)
    found = smallest_panel(scenario, 0)
    assert found.size_w is None
    assert "no sun reaches it" in found.reason


@pytest.mark.parametrize("chemistry", ["LFP", "AGM"])
def test_a_huge_battery_does_not_make_a_panel_needless(chemistry):
    kit = ideal_kit(capacity_ah=600.0, chemistry=chemistry) | {"panel": {"rated_w": 60.0}}
    found = smallest_panel(question(kit, plan=WATCH, **PLAIN_DAY), 0)
    fair = smallest_panel(question(ideal_kit() | {"panel": kit["panel"]}, plan=WATCH), 0)
    assert found.size_w == pytest.approx(fair.size_w, rel=0.06)


def test_no_panel_makes_up_for_a_battery_that_does_not_last_the_night():
    kit = one_box()
    kit["battery"]["capacity_ah"] = 12.0
    kit["battery"]["discharge_limit_a"] = 60.0
    found = smallest_panel(question(kit), 0)
    assert found.size_w is None
    assert "too small for the time without sun" in found.reason


def test_a_station_without_a_panel_has_none_to_size():
    kit = one_box()
    del kit["panel"]
    assert "no panel" in smallest_panel(question(kit), 0).reason


def test_no_battery_helps_where_volts_at_the_set_fail_for_another_reason():
    kit = small_kit()
    kit["radio"]["supply_min_v"] = 14.5
    found = smallest_battery(question(kit), 0)
    assert found.size_ah is None
    assert "voltage at the radio" in found.reason


def test_a_scaled_fleet_is_the_scaled_stations():
    kit = small_kit()
    kit["battery"] |= {"chemistry": "AGM"}
    for kind in ("mppt", "pwm"):
        kit["controller"]["kind"] = kind
        scenario = question(kit, days=2, low_c=-5.0, high_c=6.0)
        by = np.array([0.4, 1.0, 2.5])
        asked = (scenario.site, scenario.day, scenario.plan)
        stations = [
            scaled_station(scenario.stations[0], battery_by=b, panel_by=p)
            for b, p in zip(by, by[::-1], strict=True)
        ]
        one_by_one = fleet_of([station_inputs(*asked, s, (), 10.0) for s in stations])
        inputs = station_inputs(*asked, scenario.stations[0], (), 10.0)
        scaled = scaled_fleet(inputs, battery_by=by, panel_by=by[::-1].copy())
        one, other = run_batch(one_by_one), run_batch(scaled)
        np.testing.assert_allclose(one.end_fraction, other.end_fraction, rtol=1e-9)
        np.testing.assert_allclose(one.lowest_fraction, other.lowest_fraction, rtol=1e-9)
        np.testing.assert_array_equal(one.first_end_h, other.first_end_h)


def test_what_one_station_saves_against_another():
    one, other = (found.battery for found in size(question(small_kit(), one_box())))
    assert saved_kg(one, other) == other.station_kg - one.station_kg > 0
    assert saved_kg(one, replace(other, station_kg=None)) is None


def test_sizes_of_all_stations_and_what_the_command_line_writes():
    scenario = question(small_kit(), one_box())
    both = size(scenario)
    assert [one.name for one in both] == ["small", "one box"]
    for index, one in enumerate(both):
        assert one.members() == {
            "smallest_battery_ah": smallest_battery(scenario, index).size_ah,
            "smallest_panel_w": smallest_panel(scenario, index).size_w,
            "smallest_panel_for_the_trip_w": smallest_trip_panel(scenario, index).size_w,
        }


def test_a_search_shows_how_far_it_has_come_and_can_be_given_up():
    shares = list(search_sizes(question(small_kit())))
    assert shares == sorted(shares)
    assert 0 <= shares[0] < shares[-1] <= 1
    search = search_sizes(question(small_kit()))
    next(search)
    search.close()
    with pytest.raises(StopIteration):
        next(search)
