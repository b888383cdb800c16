"""Trips cut from years, each against the days written out by hand."""

from __future__ import annotations

from datetime import date, timedelta

import numpy as np
import pytest

from model.odds.years_trips import by_day_of_year, trips_of_years

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


def test_a_year_from_july_goes_on_over_new_year_and_wraps_at_the_end_of_june():
    july = 181
    at_new_year = trips_of_years(years(), years(), years(), 0, 3, begins=[july, 0])
    assert not at_new_year.wrapped[at_new_year.year == 0].any()
    assert at_new_year.wrapped[at_new_year.year == 1].sum() == 2
    at_the_seam = trips_of_years(years(), years(), years(), july, 3, begins=[july, 0])
    wrapped = at_the_seam.start[at_the_seam.wrapped]
    assert list(wrapped) == [july - 2, july - 1]
    assert set(at_the_seam.year[at_the_seam.wrapped]) == {0}


def test_days_stand_at_their_dates():
    first = date(2023, 7, 1)
    values = [float((first + timedelta(days=day)).toordinal()) for day in range(366)]
    found = by_day_of_year(first, values)
    assert np.isfinite(found).all()
    assert found[0] == date(2024, 1, 1).toordinal()
    assert found[364] == date(2023, 12, 31).toordinal()
    assert found[58] == date(2024, 2, 28).toordinal()
    assert found[59] == date(2024, 3, 1).toordinal()
    # 366 days with a 29 February among them end on 30 June; one more would be a second 1 July.
    assert found[181] == first.toordinal()


def test_days_not_given_are_gaps():
    found = by_day_of_year(date(2023, 12, 30), [1.0, 2.0, np.nan, 4.0])
    assert list(found[[363, 364, 1]]) == [1.0, 2.0, 4.0]
    assert np.count_nonzero(np.isnan(found)) == 362


@pytest.mark.parametrize(("index", "days"), [(np.zeros((2, 366)), 3), (np.zeros(365), 3)])
def test_other_than_years_of_365_days_is_refused(index, days):
    with pytest.raises(ValueError, match="365"):
        trips(index, 100, days)


@pytest.mark.parametrize("days", [0, 366])
def test_a_trip_that_fits_in_no_year_is_refused(days):
    with pytest.raises(ValueError, match="365"):
        trips(years(), 100, days)
