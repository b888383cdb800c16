"""What must hold of every size found."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from model.editing.paths import with_value
from model.editing.resize import scaled_station
from model.engine.comparison import simulate
from model.sizing.criterion import shortfall, trial
from model.sizing.frontier import search_frontier, search_map
from model.sizing.smallest import STEP_SHARE, smallest_battery
from model.support.progress import finish
from tests.laws.sample_kits import one_box, question, small_kit


@settings(max_examples=8)
@given(
    st.sampled_from(["LFP", "Li-ion", "AGM"]),
    st.floats(0.1, 1.5),
    st.integers(1, 2),
    st.booleans(),
)
def test_the_answer_holds_and_one_step_smaller_fails(chemistry, receive_a, days, has_sun):
    kit = small_kit()
    kit["battery"] |= {"chemistry": chemistry}
    kit["radio"] |= {"receive_a": receive_a, "supply_max_v": 17.5}
    if not has_sun:
        del kit["panel"]
    scenario = question(kit, days=days)
    found = smallest_battery(scenario, 0)
    assert found.size_ah is not None, found.reason
    station = scenario.stations[0].model_copy(update={"start_fraction": 1.0})
    for by, holds in ((1.0, True), (1 / (1 + STEP_SHARE), False)):
        scaled = scaled_station(station, battery_by=found.size_ah / 20.0 * by)
        run = simulate(with_value(scenario, "stations.0", scaled)).runs[0]
        clocks = (run.clocks.full_power, run.clocks.reduced_power, run.clocks.receive)
        ends = [clock.until for clock in clocks if clock.until is not None]
        assert (not ends and run.reserve_crossed_at is None) is holds
        if not holds:
            assert found.smaller_fails.at == min([*ends, run.reserve_crossed_at or ends[0]])


@settings(max_examples=5)
@given(st.floats(0.1, 1.0), st.floats(1.05, 2.0))
def test_a_hungrier_radio_needs_no_smaller_battery(receive_a, more):
    needed = []
    for current_a in (receive_a, receive_a * more):
        kit = small_kit()
        kit["radio"]["receive_a"] = current_a
        needed.append(smallest_battery(question(kit), 0).size_ah)
    assert needed[0] <= needed[1] * (1 + STEP_SHARE)


@pytest.mark.parametrize("kit", [small_kit, one_box])
@pytest.mark.parametrize("days", [1, 3])
def test_a_larger_battery_needs_no_larger_panel(kit, days):
    line = finish(search_frontier(question(kit(), days=days), 0))
    held = ~np.isnan(line.rated_w)
    assert held.any()
    # Once a battery holds, every larger one does.
    assert (np.diff(held.astype(int)) >= 0).all()
    assert (np.diff(line.rated_w[held]) <= 1e-9).all()
    assert line.station_kg[line.lightest] == np.nanmin(line.station_kg)


def test_a_heavier_plan_moves_the_frontier_up():
    light, heavy = (
        finish(search_frontier(with_value(question(small_kit(), days=2), path, value), 0))
        for path, value in (("title", "as it is"), ("stations.0.radio.receive_a", 0.6))
    )
    both = ~np.isnan(light.rated_w) & ~np.isnan(heavy.rated_w)
    assert both.any()
    assert (heavy.rated_w[both] >= light.rated_w[both]).all()


def test_twenty_points_of_the_map_agree_with_runs_of_one_minute():
    scenario = question(small_kit(), days=2)
    chart = finish(search_map(scenario, 0))
    asked = trial(scenario, 0, balanced=False)

    def holds(ah, watts):
        station = scaled_station(asked.station, battery_by=ah / 20.0, panel_by=watts / 60.0)
        return shortfall(asked, station) is None

    chance = np.random.default_rng(7)
    edge = np.argwhere(np.diff(chart.holds.astype(int), axis=1) != 0)
    near = [(row, column + chance.integers(0, 2)) for row, column in chance.permutation(edge)[:14]]
    far = [tuple(chance.integers(0, 40, 2)) for _ in range(6)]
    for row, column in near + far:
        ah, watts = chart.capacity_ah[column], chart.rated_w[row]
        told = bool(chart.holds[row, column])
        if holds(ah, watts) != told:
            assert holds(ah * 1.01, watts * 1.01) != holds(ah / 1.01, watts / 1.01)


def test_the_map_and_the_line_are_of_one_mind():
    scenario = question(small_kit(), days=2)
    chart = finish(search_map(scenario, 0))
    line = finish(search_frontier(scenario, 0, chart.capacity_ah))
    expected = chart.rated_w[:, None] >= line.rated_w[None, :] * 0.999
    surely = np.abs(chart.rated_w[:, None] / np.maximum(line.rated_w, 1e-9) - 1) > 0.02
    assert (chart.holds == expected)[surely | np.isnan(line.rated_w)[None, :]].all()
