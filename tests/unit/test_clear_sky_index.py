"""The bounded exponential against its definition, integrated point by point."""

from __future__ import annotations

import numpy as np
import pytest

from model.sky.clear_sky_index import (
    HIGHEST_INDEX,
    LOWEST_INDEX,
    exponential_cdf,
    exponential_quantile,
    exponential_rate,
    exponential_sd,
)

MEANS = (0.17, 0.2, 0.4, 0.58, 0.5999, 0.6, 0.6001, 0.62, 0.8, 1.0, 1.03)


def density_by_hand(rate):
    """Index at the middles of fine cells and the share of days in each, by the definition alone."""
    edges = np.linspace(LOWEST_INDEX, HIGHEST_INDEX, 400_001)
    index = (edges[1:] + edges[:-1]) / 2.0
    y = (index - LOWEST_INDEX) / (HIGHEST_INDEX - LOWEST_INDEX)
    weight = np.exp(rate * y - max(rate, 0.0))
    return index, weight / weight.sum()


@pytest.mark.parametrize("mean", MEANS)
def test_the_rate_gives_the_mean_it_was_solved_from(mean):
    index, share = density_by_hand(float(exponential_rate(mean)))
    assert (index * share).sum() == pytest.approx(mean, abs=1e-7)


@pytest.mark.parametrize("mean", MEANS)
def test_the_spread_is_that_of_the_density(mean):
    rate = exponential_rate(mean)
    index, share = density_by_hand(float(rate))
    by_hand = np.sqrt((share * (index - mean) ** 2).sum())
    assert float(exponential_sd(rate)) == pytest.approx(by_hand, rel=1e-5)


@pytest.mark.parametrize("mean", MEANS)
def test_the_distribution_is_the_sum_of_the_density(mean):
    rate = float(exponential_rate(mean))
    index, share = density_by_hand(rate)
    found = exponential_cdf(index, rate)
    assert np.abs(found - (np.cumsum(share) - share / 2.0)).max() < 1e-6


@pytest.mark.parametrize("mean", MEANS)
def test_the_quantile_undoes_the_distribution(mean):
    rate = exponential_rate(mean)
    share = np.linspace(0.0, 1.0, 101)
    assert exponential_cdf(exponential_quantile(share, rate), rate) == pytest.approx(
        share, abs=1e-12
    )


# From the design of this program, found there by another calculation.
@pytest.mark.parametrize(
    ("mean", "tenths"),
    [(0.4, (0.180, 0.341, 0.724)), (0.6, (0.240, 0.600, 0.960)), (0.8, (0.476, 0.859, 1.020))],
)
def test_check_values_at_the_tenth_the_middle_and_the_ninth(mean, tenths):
    found = exponential_quantile(np.array([0.1, 0.5, 0.9]), exponential_rate(mean))
    # Printed to three digits, the last of them cut off or rounded.
    assert found == pytest.approx(tenths, abs=0.001)


def test_near_no_rate_all_goes_on_smoothly():
    middle = (LOWEST_INDEX + HIGHEST_INDEX) / 2.0
    steps = middle + np.array([-1e-4, -1e-8, -1e-12, 0.0, 1e-12, 1e-8, 1e-4])
    rate = exponential_rate(steps)
    # The mean moves by a twelfth of the width for each unit of rate.
    assert rate == pytest.approx(12.0 * (steps - middle) / 0.9, abs=1e-9)
    found = exponential_quantile(0.3, rate)
    assert np.abs(np.diff(found)).max() < 2e-4
    assert exponential_cdf(found, rate) == pytest.approx(np.full(7, 0.3), abs=1e-12)


def test_the_bounds_are_the_ends():
    rate = exponential_rate(np.array([0.2, 0.6, 1.0]))
    assert exponential_quantile(0.0, rate) == pytest.approx(np.full(3, LOWEST_INDEX))
    assert exponential_quantile(1.0, rate) == pytest.approx(np.full(3, HIGHEST_INDEX))
    assert list(exponential_cdf(0.1, rate)) == [0.0, 0.0, 0.0]
    assert list(exponential_cdf(1.2, rate)) == [1.0, 1.0, 1.0]


def test_dark_and_bright_mirror_each_other():
    dark, bright = exponential_rate(np.array([0.35, 0.85]))
    assert dark == pytest.approx(-bright, rel=1e-12)


@pytest.mark.parametrize("mean", [0.15, 1.05, 0.1, 1.2, float("nan")])
def test_a_mean_beyond_the_bounds_is_refused(mean):
    with pytest.raises(ValueError, match="between its bounds"):
        exponential_rate(mean)
