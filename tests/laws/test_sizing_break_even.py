"""A map over two inputs: each cell is a size found alone, and on the line both need the same."""

from __future__ import annotations

import numpy as np
import pytest

from model.editing.paths import with_value
from model.sizing.axes import (
    SLOTS_MOST_SHARE,
    Axis,
    night_axis,
    night_h,
    number_axis,
    power_axis,
    sending_share_axis,
)
from model.sizing.break_even_map import BreakEven, search_break_even
from model.sizing.smallest import smallest_battery
from model.support.progress import finish
from tests.laws.sample_kits import one_box, question, small_kit

RECEIVE = "stations.0.radio.receive_a"


@pytest.fixture(scope="module")
def scenario():
    small, large = small_kit(), one_box()
    del small["panel"], large["panel"]
    small["radio"]["mass_kg"] = 3.2
    return question(small, large)


@pytest.fixture(scope="module")
def chart(scenario):
    across = number_axis(scenario, RECEIVE, (0.2, 0.6, 1.0, 1.4))
    return finish(search_break_even(scenario, across, sending_share_axis((0.1, 0.3, 0.6))))


@pytest.mark.parametrize(("row", "column"), [(0, 0), (2, 1), (1, 3)])
def test_a_cell_is_the_size_found_alone(scenario, chart, row, column):
    there = chart.up.changed(chart.across.changed(scenario, column), row)
    assert there.stations[0].radio.receive_a == chart.across.values[column]
    for index in (0, 1):
        expected = smallest_battery(there, index)
        held = expected.station_kg if expected.size_ah is not None else np.inf
        assert chart.needed_kg[index, row, column] == pytest.approx(held, rel=5e-3)


def test_on_the_line_both_need_the_same(scenario, chart):
    line = chart.line()
    assert line
    rows = list(chart.up.values)
    on_rows = [point for point in line if point[1] in rows]
    assert on_rows
    for receive_a, share in on_rows:
        there = chart.up.changed(with_value(scenario, RECEIVE, receive_a), rows.index(share))
        kg = [smallest_battery(there, index).station_kg for index in (0, 1)]
        assert kg[0] == pytest.approx(kg[1], rel=0.03)


def test_more_receive_current_never_needs_less(chart):
    with np.errstate(invalid="ignore"):
        steps = np.diff(chart.needed_kg[0], axis=1)
    assert (steps[np.isfinite(steps)] >= -0.005 * chart.needed_kg[0].min()).all()
    np.testing.assert_allclose(chart.needed_kg[1], chart.needed_kg[1][:, :1].repeat(4, axis=1))


def made_up(less):
    less = np.array(less, dtype=float)
    across = Axis("a", "", tuple(range(less.shape[1])), lambda given, at: given)
    up = Axis("b", "", tuple(range(less.shape[0])), lambda given, at: given)
    return BreakEven(across, up, np.array([np.zeros_like(less), less]))


def test_the_line_lies_on_straight_lines_between_neighbours():
    assert made_up([[1.0, -3.0], [1.0, -1.0]]).line() == ((0.25, 0.0), (0.5, 1.0))
    assert made_up([[2.0, 2.0], [-2.0, -6.0]]).line() == ((0.0, 0.5), (1.0, 0.25))
    assert made_up([[2.0, 0.0]]).line() == ((1.0, 0.0),)


def test_where_one_holds_alone_the_line_is_halfway_and_where_neither_does_there_is_none():
    assert made_up([[1.0, -np.inf]]).line() == ((0.5, 0.0),)
    assert made_up([[np.nan, 1.0], [np.nan, 2.0]]).line() == ()


def test_the_axes_change_what_they_name(scenario):
    powers = power_axis((20.0, 5.0))
    assert powers.values == (5.0, 20.0)
    sent = [block.rf_w for block in powers.changed(scenario, 1).plan if block.sends]
    assert sent == [20.0, 20.0]
    plan = [
        {"start": "10:00", "end": "11:00", "activity": "slots", "rf_w": 5.0, "transmit_share": 0.2},
        {"start": "12:00", "end": "13:00", "activity": "fm", "rf_w": 5.0, "transmit_share": 0.2},
        {"start": "13:00", "end": "14:00", "activity": "watch"},
    ]
    shares = sending_share_axis((0.7,)).changed(question(small_kit(), plan=plan), 0)
    assert [b.transmit_share for b in shares.plan] == [SLOTS_MOST_SHARE, 0.7, 0.0]
    with pytest.raises(KeyError):
        number_axis(scenario, "stations.0.laptop.power_w", (1.0,))


def dark_h(latitude_deg, declination_deg):
    """Hours with the sun below -6 deg, by the hour angle of textbook spherical astronomy."""
    latitude, declination = np.radians(latitude_deg), np.radians(declination_deg)
    height = np.sin(np.radians(-6.0)) - np.sin(latitude) * np.sin(declination)
    angle = np.degrees(np.arccos(height / (np.cos(latitude) * np.cos(declination))))
    return 24.0 - 2 * angle / 15


def test_the_night_axis_goes_from_the_shortest_night_to_the_longest(scenario):
    nights = night_axis(scenario, 5)
    assert list(nights.values) == sorted(nights.values)
    assert nights.values[0] == pytest.approx(dark_h(46.0, 23.44), abs=0.1)
    assert nights.values[-1] == pytest.approx(dark_h(46.0, -23.44), abs=0.1)
    for at, hours in enumerate(nights.values):
        assert night_h(nights.changed(scenario, at)) == pytest.approx(hours, abs=0.01)


def test_a_longer_night_needs_no_smaller_battery_where_the_sun_helps():
    scenario = question(small_kit(), one_box())
    across = night_axis(scenario, 4)
    chart = finish(search_break_even(scenario, across, power_axis((10.0, 20.0))))
    assert chart.needed_kg.shape == (2, 2, 4)
    assert (np.diff(chart.needed_kg[:, :, [0, -1]], axis=2) >= -0.02).all()


def test_a_value_that_is_refused_leaves_its_cell_empty(scenario):
    across = number_axis(scenario, RECEIVE, (-1.0, 0.5))
    chart = finish(search_break_even(scenario, across, power_axis((10.0,))))
    assert np.isnan(chart.needed_kg[:, 0, 0]).all()
    assert np.isfinite(chart.needed_kg[:, 0, 1]).all()
