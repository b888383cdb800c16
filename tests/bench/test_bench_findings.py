"""Speed of the findings, which are worked out at every edit. Measured, never asserted."""

from __future__ import annotations

from itertools import count

import pytest

from model.findings.rules import find
from model.scenario.scenario import Scenario
from tests.unit.scenario_maker import scenario

STATIONS = 4


@pytest.mark.parametrize("edited", ["battery", "plan"])
def test_findings_of_four_stations_after_an_edit(benchmark, edited: str) -> None:  # type: ignore[no-untyped-def]
    base = scenario()
    base = base.model_copy(update={"stations": base.stations * STATIONS})
    find(base)
    numbers = count(1)

    def edit() -> tuple[tuple[Scenario], dict[str, object]]:
        number = 20.0 + next(numbers) / 1000
        if edited == "plan":
            block = base.plan[1].model_copy(update={"rf_w": number})
            return (base.model_copy(update={"plan": (base.plan[0], block)}),), {}
        station = base.stations[0]
        battery = station.battery.model_copy(update={"capacity_ah": number})
        changed = station.model_copy(update={"battery": battery})
        return (base.model_copy(update={"stations": (changed, *base.stations[1:])}),), {}

    benchmark.pedantic(find, setup=edit, rounds=200)
