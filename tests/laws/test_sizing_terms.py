"""On equal terms two stations are equal in what was asked for, and the sentence says the change."""

from __future__ import annotations

from math import inf

import pytest

from model.editing.paths import with_value
from model.engine.comparison import simulate
from model.results.tie_point import first_end_h
from model.sizing.equal_terms import same_mass, same_power, same_time
from model.station.carried_mass import carried_total
from model.station.transmit_path import given_rf_w
from tests.laws.sample_kits import one_box, question, small_kit
from tests.plain import plain


def without_sun(**day):
    small, large = small_kit(), one_box()
    del small["panel"], large["panel"]
    return question(small, large, **({"days": 3} | day))


def test_the_same_power_is_what_the_weaker_can_give():
    net = {"transmit_share": 0.2}
    plan = [
        net | {"start": "08:00", "end": "09:00", "activity": "voice", "rf_w": 80.0},
        net | {"start": "09:00", "end": "10:00", "activity": "morse", "rf_w": 5.0},
    ]
    scenario = question(small_kit(), one_box(), plan=plan)
    terms = same_power(scenario)
    for block in terms.scenario.plan:
        one, other = (given_rf_w(station, block) for station in terms.scenario.stations)
        assert one == other == block.rf_w
    assert [block.rf_w for block in terms.scenario.plan] == [50.0, 5.0]
    assert plain(terms.words) == (
        "Both now transmit the RF power of the weaker: 50 W instead of 80 W."
    )
    again = same_power(terms.scenario)
    assert again.scenario == terms.scenario
    assert "already" in again.words


def test_a_station_that_cannot_send_has_no_equal_power():
    deaf = small_kit()
    del deaf["amplifier"]
    deaf["radio"] = {"receive_a": 0.1}
    scenario = question(deaf, one_box())
    terms = same_power(scenario)
    assert terms.scenario is scenario
    assert terms.words == "Nothing was changed: A cannot transmit at all."


@pytest.mark.parametrize("order", [(0, 1), (1, 0)])
def test_the_same_mass_is_reached_by_more_battery(order):
    scenario = question(small_kit(), one_box())
    terms = same_mass(scenario, *order)
    masses = [carried_total(station).mass_kg for station in terms.scenario.stations]
    assert masses[0] == pytest.approx(masses[1])
    assert terms.scenario.stations[1] == scenario.stations[1]
    before, after = (each.stations[0].battery for each in (scenario, terms.scenario))
    by = after.capacity_ah / before.capacity_ah
    assert by > 1
    assert after.resistance_ohm == pytest.approx(before.resistance_ohm / by)
    assert f"{after.capacity_ah:.1f} Ah instead of 20 Ah" in plain(terms.words)
    assert "already" in same_mass(terms.scenario, *order).words


def test_a_battery_without_mass_cannot_make_up_for_mass():
    kit = small_kit()
    kit["battery"]["mass_kg"] = 0.0
    assert "enter the mass of the battery of A" in same_mass(question(kit, one_box())).words


def test_the_same_time_is_proved_by_the_run():
    scenario = without_sun()
    terms = same_time(scenario)
    ends = [first_end_h(run) for run in simulate(terms.scenario).runs]
    before = [first_end_h(run) for run in simulate(scenario).runs]
    assert before[0] != before[1]
    assert abs(ends[0] - ends[1]) <= 1 / 60 + 1e-9
    assert max(before) == max(ends)
    assert "B now has" in terms.words
    assert "already" in same_time(terms.scenario).words


def test_where_the_other_never_ends_the_same_time_is_the_whole_run():
    scenario = with_value(without_sun(), "stations.0.battery.capacity_ah", 400.0)
    terms = same_time(scenario)
    assert [first_end_h(run) for run in simulate(terms.scenario).runs] == [inf, inf]
    assert terms.scenario.stations[1].battery.capacity_ah > 50.0


def test_no_battery_helps_a_set_that_is_short_of_volts():
    kit = one_box()
    kit["radio"]["supply_min_v"] = 14.5
    scenario = question(small_kit(), kit)
    terms = same_time(scenario)
    assert terms.scenario is scenario
    assert "no battery lets B last" in terms.words
