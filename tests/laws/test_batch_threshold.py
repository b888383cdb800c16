"""A tie is proved by a rerun: at the value returned both end together, beside it they do not."""

from __future__ import annotations

from math import inf

import pytest

from model.editing.paths import with_value
from model.engine.comparison import simulate
from model.results.tie_point import first_end_h, search_tie
from model.support.progress import finish
from tests.laws.sample_kits import one_box, question, small_kit


def without_sun(**day):
    small, large = small_kit(), one_box()
    del small["panel"], large["panel"]
    return question(small, large, days=3, **day)


def ends_h(scenario, path, value, clock=None):
    return [first_end_h(run, clock) for run in simulate(with_value(scenario, path, value)).runs]


@pytest.mark.parametrize("clock", [None, "receive"])
@pytest.mark.parametrize(
    ("path", "low", "high"),
    [
        ("stations.1.radio.receive_a", 0.05, 2.0),
        ("stations.0.radio.receive_a", 0.05, 2.0),
        ("stations.1.battery.capacity_ah", 5.0, 500.0),
        ("stations.0.battery.tested_fraction", 0.3, 1.2),
    ],
)
def test_both_end_within_a_minute_at_the_value(path, low, high, clock):
    scenario = without_sun()
    value = finish(search_tie(scenario, path, low, high, clock=clock))
    assert value is not None
    first_h, second_h = ends_h(scenario, path, value, clock)
    assert abs(first_h - second_h) <= 1 / 60 + 1e-9
    sooner, later = (ends_h(scenario, path, value * by, clock) for by in (0.9, 1.1))
    assert (sooner[0] > sooner[1]) != (later[0] > later[1])


def test_no_tie_where_one_lasts_longer_throughout():
    assert finish(search_tie(without_sun(), "stations.1.radio.receive_a", 1.5, 3.0)) is None


def test_no_tie_where_a_value_is_refused():
    assert finish(search_tie(without_sun(), "stations.1.radio.receive_a", -1.0, 3.0)) is None


def test_where_one_never_ends_the_tie_is_where_the_other_begins_to_last():
    path = "stations.1.battery.capacity_ah"
    scenario = with_value(without_sun(), "stations.0.battery.capacity_ah", 500.0)
    value = finish(search_tie(scenario, path, 10.0, 400.0))
    assert value is not None
    assert ends_h(scenario, path, value) == [inf, inf]
    assert ends_h(scenario, path, value - 0.2)[1] < 72


def test_ends_that_jump_past_each_other_tie_only_where_that_is_asked_for():
    # Just enough to meet the morning's sun moves the large kit's end from dawn to evening.
    small = small_kit()
    del small["panel"]
    scenario = question(small, one_box(), low_c=-10.0, high_c=-5.0, days=3)
    scenario = with_value(scenario, "stations.0.battery.capacity_ah", 30.5)
    path = "stations.1.battery.capacity_ah"
    assert finish(search_tie(scenario, path, 45.0, 65.0)) is None
    value = finish(search_tie(scenario, path, 45.0, 65.0, within_min=None))
    assert value is not None
    below, above = (ends_h(scenario, path, value * by) for by in (0.9999, 1.0001))
    assert below[0] > below[1] + 1
    assert above[0] < above[1] - 1
