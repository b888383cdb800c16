"""The same question under another sky: without a cloud, and wholly overcast."""

from __future__ import annotations

from model.compare import shared_extras
from model.run import StationRun, run_station
from model.scenario import Scenario

CLEAR_OKTA = 0.0
OVERCAST_OKTA = 8.0


def under_sky(scenario: Scenario, cloud_okta: float) -> Scenario:
    """Return the scenario with the same cloud on every day [okta]."""
    day = scenario.day.model_copy(update={"cloud_okta": (cloud_okta,)})
    return scenario.model_copy(update={"day": day})


def run_under_sky(scenario: Scenario, index: int, cloud_okta: float) -> StationRun:
    """Run one station, counted from 0, with the same cloud on every day [okta]."""
    return run_station(
        scenario.site,
        under_sky(scenario, cloud_okta).day,
        scenario.plan,
        scenario.stations[index],
        shared_extras(scenario, index),
    )
