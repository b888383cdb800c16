"""Trips cut from years, each against the days written out by hand."""

from __future__ import annotations

import numpy as np
import pytest

from model.odds.years_trips import trips_of_years

DAYS = np.arange(365.0)


def years(count=2):
    """Each value tells its year and day: year 1, day 30 is 1030."""
    return np.arange(count)[:, None] * 1000.0 + DAYS


def trips(index, date, days):
    return trips_of_years(index, index - 0.25, index + 0.5, date, days)


def test_a_date_has_thirty_one_starts_in_each_year():
    found = trips(years(), 100, 3)
    assert found.skies.index.shape == (62, 3)
    assert list(found.start[:3]) == [85, 86, 87]
    assert found.start[30] == 115
    assert list(found.skies.index[31]) == [1085.0, 1086.0, 1087.0]
    assert list(found.year) == [0] * 31 + [1] * 31
    assert found.left_out == 0
    assert not found.wrapped.any()


def test_temperatures_are_those_of_the_same_days():
    found = trips(years(), 100, 3)
    assert np.array_equal(found.skies.low_c, found.skies.index - 0.25)
    assert np.array_equal(found.skies.high_c, found.skies.index + 0.5)


def test_new_year_wraps_within_the_year_and_is_marked():
    found = trips(years(), 2, 3)
    by_start = {
        (int(year), int(start)): (list(days), bool(wrapped))
        for year, start, days, wrapped in zip(
            found.year, found.start, found.skies.index, found.wrapped, strict=True
        )
    }
    assert by_start[1, 364] == ([1364.0, 1000.0, 1001.0], True)
    assert by_start[1, 363] == ([1363.0, 1364.0, 1000.0], True)
    assert by_start[1, 362] == ([1362.0, 1363.0, 1364.0], False)
    assert by_start[1, 0] == ([1000.0, 1001.0, 1002.0], False)
    assert len(by_start) == 62
    assert found.wrapped.sum() == 4


def test_a_gap_takes_every_trip_that_it_touches():
    index = years()
    index[0, 100] = np.nan
    found = trips(index, 100, 3)
    assert found.left_out == 3
    assert not set(found.start[found.year == 0]) & {98, 99, 100}
    assert np.isfinite(found.skies.index).all()


def test_a_gap_in_one_temperature_counts_as_one():
    index, low = years(), years()
    low[1, 110] = np.nan
    found = trips_of_years(index, low, index, 100, 1)
    assert found.left_out == 1
    assert found.skies.index.shape == (61, 1)


def test_a_year_of_gaps_gives_no_trip():
    found = trips(np.full((1, 365), np.nan), 100, 3)
    assert found.skies.index.shape == (0, 3)
    assert found.left_out == 31


@pytest.mark.parametrize(("index", "days"), [(np.zeros((2, 366)), 3), (np.zeros(365), 3)])
def test_other_than_years_of_365_days_is_refused(index, days):
    with pytest.raises(ValueError, match="365"):
        trips(index, 100, days)


@pytest.mark.parametrize("days", [0, 366])
def test_a_trip_that_fits_in_no_year_is_refused(days):
    with pytest.raises(ValueError, match="365"):
        trips(years(), 100, days)
