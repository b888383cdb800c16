"""Daily values between monthly means: the means stay, the year closes, a known curve comes back."""

from __future__ import annotations

import itertools
from datetime import date

import numpy as np
import pytest

from model.sky.monthly_nodes import DAYS_OF_MONTHS, daily_values, day_of_year, monthly_means

DAYS = np.arange(365)
YEAR = 10.0 - 12.0 * np.cos(2.0 * np.pi * (DAYS - 20) / 365.0)


def means_by_hand(daily):
    edges = np.concatenate([[0], np.cumsum(DAYS_OF_MONTHS)])
    pairs = itertools.pairwise(edges)
    return np.array([daily[begin:end].mean() for begin, end in pairs])


@pytest.mark.parametrize("seed", range(5))
def test_the_means_of_the_months_are_the_given_ones(seed):
    monthly = np.random.default_rng(seed).uniform(-20.0, 30.0, 12)
    assert means_by_hand(daily_values(monthly)) == pytest.approx(monthly, abs=1e-9)


def test_weighted_means_are_the_given_ones():
    weights = 1.0 + np.cos(2.0 * np.pi * DAYS / 365.0) ** 2
    monthly = np.random.default_rng(1).uniform(0.3, 0.9, 12)
    daily = daily_values(monthly, weights)
    light = means_by_hand(daily * weights) / means_by_hand(weights)
    assert light == pytest.approx(monthly, abs=1e-9)
    assert monthly_means(daily, weights) == pytest.approx(monthly, abs=1e-9)
    assert np.abs(means_by_hand(daily) - monthly).max() > 1e-4


def test_a_month_without_weight_counts_its_days_alike():
    weights = np.where(DAYS < 31, 0.0, 1.0)
    monthly = np.linspace(1.0, 12.0, 12)
    assert means_by_hand(daily_values(monthly, weights)) == pytest.approx(monthly, abs=1e-9)


def test_a_smooth_year_comes_back_from_its_means():
    monthly = means_by_hand(YEAR)
    middles = np.cumsum(DAYS_OF_MONTHS) - DAYS_OF_MONTHS / 2.0
    straight = np.interp(DAYS + 0.5, middles, monthly, period=365)
    assert np.abs(straight - YEAR).max() > 0.4
    assert np.abs(means_by_hand(straight) - monthly).max() > 0.3
    assert np.abs(daily_values(monthly) - YEAR).max() < 0.02


def test_the_published_turns_lead_to_the_same_values():
    # Rymes and Myers 2001: three-day means, then each month back to its mean, over and over.
    monthly = np.random.default_rng(3).uniform(0.0, 1.0, 12)
    months = np.repeat(np.arange(12), DAYS_OF_MONTHS)
    turned = monthly[months]
    for _ in range(3000):
        turned = (np.roll(turned, 1) + turned + np.roll(turned, -1)) / 3.0
        turned += (monthly - means_by_hand(turned))[months]
    assert daily_values(monthly) == pytest.approx(turned, abs=1e-4)


def test_december_goes_over_into_january():
    monthly = means_by_hand(YEAR)
    daily = daily_values(monthly)
    steps = np.abs(np.diff(daily))
    assert abs(daily[0] - daily[-1]) <= steps.max()
    shifted = daily_values(np.roll(monthly, 6))
    assert abs(shifted[0] - shifted[-1]) <= 1.5 * np.abs(np.diff(shifted)).max()


def test_no_day_passes_a_bound_and_the_means_stay():
    monthly = np.array([0.02, 0.5, 0.02, 0.9, 0.98, 0.98, 0.1, 0.5, 0.5, 0.97, 0.3, 0.4])
    free = daily_values(monthly)
    assert free.min() < 0.0
    assert free.max() > 1.0
    daily = daily_values(monthly, lowest=0.0, highest=1.0)
    assert daily.min() >= 0.0
    assert daily.max() <= 1.0
    assert means_by_hand(daily) == pytest.approx(monthly, abs=1e-9)


def test_a_flat_year_stays_flat():
    assert daily_values(np.full(12, 7.0), lowest=7.0, highest=7.0) == pytest.approx(7.0)


@pytest.mark.parametrize("monthly", [np.zeros(11), np.full(12, np.nan), np.full(12, -1.0)])
def test_other_than_twelve_means_within_the_bounds_is_refused(monthly):
    with pytest.raises(ValueError, match="twelve monthly means"):
        daily_values(monthly, lowest=0.0)


def test_days_are_counted_as_in_a_plain_year():
    assert day_of_year(date(2024, 1, 1)) == 0
    assert day_of_year(date(2024, 2, 29)) == day_of_year(date(2023, 2, 28)) == 58
    assert day_of_year(date(2024, 3, 1)) == day_of_year(date(2023, 3, 1)) == 59
    assert day_of_year(date(2024, 12, 31)) == 364
