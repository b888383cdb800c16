"""Intervals of odds against SciPy and against trials of their own."""

from __future__ import annotations

import numpy as np
import pytest
from scipy.stats import binom, binomtest, t

from model.odds.intervals import (
    independent_trips,
    odds_interval,
    t_interval,
)
from model.support.intervals import student_t, wilson_interval


@pytest.mark.parametrize(("found", "trials"), [(0, 10), (4, 10), (10, 10), (1, 3), (190, 200)])
def test_wilson_is_that_of_scipy(found, trials):
    exact = binomtest(found, trials).proportion_ci(method="wilson")
    assert wilson_interval(found / trials, trials) == pytest.approx(tuple(exact), abs=1e-6)


def test_one_year_of_three_days_is_ten_trips():
    assert independent_trips(1.0, 3) == pytest.approx(31.0 / 3.0)
    # The design's wording: "by one year: about 4 in 10 (2 to 7)".
    low, high = wilson_interval(0.4, independent_trips(1.0, 3))
    assert (round(10 * low), round(10 * high)) == (2, 7)


def test_wilson_covers_what_it_claims():
    for true in (0.1, 0.5, 0.9):
        found = np.arange(31)
        bounds = [wilson_interval(count / 30.0, 30.0) for count in found]
        covers = np.array([low <= true <= high for low, high in bounds])
        assert 0.92 <= (binom.pmf(found, 30, true) * covers).sum() <= 0.99


@pytest.mark.parametrize("freedom", [1, 2, 5, 30, 31, 60, 400])
def test_student_is_that_of_scipy(freedom):
    assert student_t(freedom) == pytest.approx(t.ppf(0.975, freedom), rel=1e-9)


def test_by_year_is_students_interval():
    by_year = np.array([0.5, 0.7, 0.9, 0.6])
    exact = t.interval(0.95, 3, by_year.mean(), by_year.std(ddof=1) / 2.0)
    assert t_interval(by_year) == pytest.approx(exact, abs=1e-3)
    assert t_interval([0.0, 1.0]) == (0.0, 1.0)


def trips(shares_of_years):
    """31 trips a year of which the given share holds."""
    holds = [np.arange(31) < round(31 * share) for share in shares_of_years]
    return np.concatenate(holds), np.repeat(np.arange(len(holds)), 31)


def test_two_years_stand_on_wilson_however_they_differ():
    holds, year = trips([0.0, 1.0])
    assert odds_interval(holds, year, 3) == wilson_interval(0.5, 62.0 / 3.0)


def test_from_three_years_the_wider_counts():
    differing = trips([0.1, 0.5, 0.9, 0.3])
    shares = [differing[0][differing[1] == year].mean() for year in range(4)]
    assert odds_interval(*differing, 3) == t_interval(shares)
    alike = trips([0.71, 0.71, 0.71, 0.71])
    share = float(alike[0].mean())
    assert odds_interval(*alike, 3) == wilson_interval(share, 4 * 31 / 3)


def test_more_trials_of_the_same_days_narrow_nothing():
    one, year = trips([0.5])
    low, high = odds_interval(one, year, 3)
    assert high - low > 0.5


def test_the_share_itself_is_always_inside():
    holds = np.array([False] * 31 + [True] * 2 + [True] * 2)
    year = np.repeat([0, 1, 2], [31, 2, 2])
    low, high = odds_interval(holds, year, 1)
    assert low <= holds.mean() <= high


def test_what_is_no_share_is_refused():
    for share, trials in ((0.5, 0.0), (1.1, 5.0), (float("nan"), 5.0)):
        with pytest.raises(ValueError, match="Wilson"):
            wilson_interval(share, trials)
    with pytest.raises(ValueError, match="two years"):
        t_interval([0.5])
    with pytest.raises(ValueError, match="trip"):
        odds_interval(np.zeros(0, bool), np.zeros(0, int), 3)
