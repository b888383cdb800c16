"""The beta of days against SciPy's, which integrates it another way."""

from __future__ import annotations

import numpy as np
import pytest
from scipy.stats import beta

from model.sky.clear_sky_index import (
    HIGHEST_INDEX,
    LOWEST_INDEX,
    index_quantile,
    usual_spread,
    widest_spread,
)

WIDTH = HIGHEST_INDEX - LOWEST_INDEX
# Wide, narrow, piled at one end, at the other and at both (both exponents far below 1).
PAIRS = ((0.6, 0.25), (1.0, 0.04), (1.1, 0.15), (0.15, 0.09), (0.6, 0.5))


@pytest.mark.parametrize(("mean", "sd"), PAIRS)
def test_quantiles_are_those_of_scipy(mean, sd):
    share = np.linspace(0.001, 0.999, 999)[:, None]
    found = index_quantile(share, np.array([mean]), np.array([sd]))
    y, spread = (mean - LOWEST_INDEX) / WIDTH, sd / WIDTH
    weight = y * (1.0 - y) / spread**2 - 1.0
    exact = LOWEST_INDEX + WIDTH * beta.ppf(share, y * weight, (1.0 - y) * weight)
    assert found == pytest.approx(exact, abs=0.002)


@pytest.mark.parametrize(("mean", "sd"), PAIRS)
def test_many_draws_have_the_mean_and_the_spread(mean, sd):
    share = (np.arange(20_000)[:, None] + 0.5) / 20_000
    found = index_quantile(share, np.array([mean]), np.array([sd]))
    assert found.mean() == pytest.approx(mean, abs=0.001)
    assert found.std() == pytest.approx(sd, rel=0.01)


def test_each_day_has_its_own():
    mean, sd = np.array([0.3, 0.9]), np.array([0.1, 0.2])
    share = np.array([[0.2, 0.2], [0.7, 0.7]])
    together = index_quantile(share, mean, sd)
    alone = index_quantile(share[:, 1:], mean[1:], sd[1:])
    assert np.array_equal(together[:, 1:], alone)
    assert (together[:, 0] < together[:, 1]).all()


def test_no_days_spread_wider_than_half_at_each_end():
    days = np.array([LOWEST_INDEX, HIGHEST_INDEX])
    assert widest_spread(days.mean()) == pytest.approx(days.std())
    with pytest.raises(ValueError, match="spread"):
        index_quantile(np.full((1, 1), 0.5), np.array([days.mean()]), np.array([days.std()]))
    with pytest.raises(ValueError, match="spread"):
        index_quantile(np.full((1, 1), 0.5), np.array([1.3]), np.array([0.1]))


def test_days_of_a_place_spread_by_a_share_of_the_widest():
    mean = np.array([0.2, 0.635, 1.1])
    assert usual_spread(mean, 20.0) == pytest.approx(0.42 * widest_spread(mean))
    # In the middle of the bounds half of them is the widest.
    assert usual_spread(0.635, 20.0) == pytest.approx(0.42 * WIDTH / 2.0)


def test_the_more_the_year_swings_the_more_days_differ():
    swings = [usual_spread(0.7, swing).item() for swing in (3.0, 6.0, 12.0, 24.0, 48.0)]
    assert swings[0] == swings[1]
    assert np.diff(swings[1:]) == pytest.approx(
        np.full(3, 0.086 * np.log(2.0) * widest_spread(0.7))
    )


def test_one_temperature_for_all_of_the_year_tells_nothing():
    assert usual_spread(0.7, 0.0) == usual_spread(0.7, 20.0)
