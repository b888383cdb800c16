"""What the verdict says of ends at the very edges of a run."""

from __future__ import annotations

import pytest

from model.engine.comparison import simulate
from model.scenario.scenario import Scenario
from model.verdict.order import too_close
from model.verdict.table import verdict
from tests.unit.scenario_maker import BATTERY, RADIO, scenario

OVER_VOLTS = {"name": "over-volted", "battery": BATTERY | {"cells": 9}, "panel": None}
LASTING = {"name": "lasting", "panel": None}
# Nothing is drawn: the set is never on.
IDLE = {"name": "idle", "radio": {"receive_a": 0.5}, "panel": None, "controller": None}
OFF = {"start": "00:00", "end": "24:00", "activity": "off"}


def beside(first: dict, second: dict, **more: object) -> Scenario:
    one, other = (scenario(station=station, **more) for station in (first, second))
    return one.model_copy(update={"stations": one.stations + other.stations})


def test_a_station_that_ends_at_once_ends_first():
    comparison = simulate(beside(OVER_VOLTS, LASTING))
    first, second = comparison.runs
    assert first.clocks.receive.hours == 0.0
    assert second.clocks.receive.hours is None
    assert not too_close(first, second)
    assert verdict(comparison).sentences[0].startswith("A ends first")


def test_a_station_that_draws_nothing_is_not_too_close_to_one_that_ends():
    comparison = simulate(beside(OVER_VOLTS, IDLE, plan=(OFF,)))
    first, second = comparison.runs
    assert first.clocks.receive.hours == 0.0
    assert second.sums.load_ah == 0.0
    assert not too_close(first, second)


@pytest.mark.parametrize("stations", [(OVER_VOLTS, OVER_VOLTS), (IDLE, IDLE)])
def test_two_that_end_at_once_or_never_are_said_without_a_warning(stations):
    assert verdict(simulate(beside(*stations))).sentences


def test_a_radio_with_no_receive_current_at_all_is_said():
    silent = {"name": "silent", "radio": RADIO | {"receive_a": 0.0}, "panel": None}
    assert verdict(simulate(beside(OVER_VOLTS, silent))).sentences
