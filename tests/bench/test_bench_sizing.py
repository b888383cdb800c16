"""Speed of the searches for sizes. Measured, never asserted."""

from __future__ import annotations

from model.sizing.frontier import search_frontier
from model.sizing.smallest import size, smallest_battery, smallest_panel
from model.support.progress import finish
from tests.laws.sample_kits import question, small_kit


def test_smallest_battery(benchmark):
    scenario = question(small_kit())
    found = benchmark.pedantic(smallest_battery, args=(scenario, 0), rounds=3, warmup_rounds=1)
    assert found.size_ah is not None


def test_smallest_panel(benchmark):
    scenario = question(small_kit())
    found = benchmark.pedantic(smallest_panel, args=(scenario, 0), rounds=3, warmup_rounds=1)
    assert found.size_w is not None


def test_both_sizes_of_two_stations_over_three_days(benchmark):
    found = benchmark.pedantic(size, args=(question(days=3),), rounds=2, warmup_rounds=1)
    assert len(found) == 2


def test_frontier_of_battery_and_panel(benchmark):
    scenario = question(small_kit())
    line = benchmark.pedantic(
        lambda: finish(search_frontier(scenario, 0)), rounds=3, warmup_rounds=1
    )
    assert line.lightest is not None
