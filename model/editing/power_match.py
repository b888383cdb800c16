"""One power for all: a plan that asks of every station only what each can give."""

from __future__ import annotations

from model.editing.paths import with_value
from model.scenario.scenario import Scenario
from model.station.transmit_path import given_rf_w


def with_power_matched(scenario: Scenario) -> Scenario:
    """Return a scenario whose plan asks for no more than every station can give."""
    stations = scenario.stations
    plan = tuple(
        block.model_copy(update={"rf_w": min(given_rf_w(station, block) for station in stations)})
        if block.sends
        else block
        for block in scenario.plan
    )
    return with_value(scenario, "plan", plan)


def is_power_unequal(scenario: Scenario) -> bool:
    """Return whether some block is sent with different powers by different stations."""
    return with_power_matched(scenario) != scenario
