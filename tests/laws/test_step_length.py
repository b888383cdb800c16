"""The step rule is of first order: half the step, half the miss."""

from __future__ import annotations

from datetime import date
from itertools import pairwise

import pytest

from model.engine.comparison import simulate
from model.scenario.scenario import Scenario


def discharge(chemistry: str) -> Scenario:
    """Return a constant power drawn in the dark: the current rises as the rest volts fall."""
    return Scenario.model_validate(
        {
            "site": {"latitude_deg": 50.0, "longitude_deg": 10.0},
            "day": {"date": date(2027, 12, 1)},
            "stations": [
                {
                    "name": "A",
                    "radio": {"receive_a": 0.1},
                    "battery": {
                        "chemistry": chemistry,
                        "capacity_ah": 30.0,
                        "resistance_ohm": 0.05,
                    },
                    "extras": [{"power_w": 11.0}],
                }
            ],
        }
    )


@pytest.mark.parametrize("chemistry", ["AGM", "flooded", "Li-ion"])
def test_halving_the_step_halves_the_miss(chemistry: str) -> None:
    def end_fraction(step_min: float) -> float:
        (run,) = simulate(discharge(chemistry), step_min=step_min).runs
        assert run is not None
        return run.end_fraction

    exact = end_fraction(0.125)
    misses = [abs(end_fraction(step_min) - exact) for step_min in (16.0, 8.0, 4.0)]
    for coarse, fine in pairwise(misses):
        assert 1.8 < coarse / fine < 2.3
    # At one minute that is below a ten-thousandth of the capacity.
    assert misses[-1] / 4 < 1e-4
