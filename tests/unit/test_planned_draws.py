"""Draws about planned days: one error of the place, one of each day."""

from __future__ import annotations

import numpy as np
import pytest

from model.sky.planned_draws import draw_planned

# Mixed, overcast, mostly clear: means and spreads of the design.
MEAN, WITHIN, BETWEEN = (0.84, 0.40, 0.95), (0.09, 0.11, 0.06), (0.09, 0.08, 0.05)


def drawn(trips=40_000, **rest):
    return draw_planned(MEAN, WITHIN, BETWEEN, trips, np.random.default_rng(1), **rest)


def test_each_day_has_its_mean_and_both_spreads():
    found = drawn()
    assert found.shape == (40_000, 3)
    assert found.mean(axis=0) == pytest.approx(MEAN, abs=0.005)
    assert found.std(axis=0) == pytest.approx(np.hypot(WITHIN, BETWEEN), rel=0.03)


def test_the_place_errs_alike_on_all_days():
    found = drawn()
    shared = np.outer(BETWEEN, BETWEEN)
    expected = shared[0, 1] / np.prod(np.hypot(WITHIN, BETWEEN)[:2])
    assert np.corrcoef(found.T)[0, 1] == pytest.approx(expected, abs=0.02)


def test_a_known_place_leaves_the_days_alone():
    found = draw_planned(MEAN, WITHIN, (0.0,) * 3, 40_000, np.random.default_rng(1))
    assert found.std(axis=0) == pytest.approx(WITHIN, rel=0.02)
    assert np.corrcoef(found.T)[0, 1] == pytest.approx(0.0, abs=0.02)


def test_no_day_is_darker_or_brighter_than_days_are():
    found = draw_planned((0.1, 1.2), (0.2, 0.2), (0.1, 0.1), 500, np.random.default_rng(1))
    assert found.min() == 0.05
    assert found.max() == 1.22
