"""Errors that stations share do not blur who of them ends first."""

from __future__ import annotations

from datetime import date

import pytest

from model.engine.comparison import simulate
from model.results.shared_errors import error_key, load_errors
from model.scenario.scenario import Scenario
from model.verdict.table import verdict
from tests.unit.scenario_maker import BATTERY, RADIO, scenario


def two_copies(**sources: object) -> Scenario:
    """Return a kit and its copy, which receives with 4 % more current."""
    one = scenario(
        day={"date": date(2027, 6, 12), "days": 2, "start_hour": 18.0},
        plan=({"start": "00:00", "end": "24:00", "activity": "watch"},),
        station={
            "start_fraction": 1.0,
            "battery": BATTERY | {"capacity_ah": 9.0},
            "panel": None,
            "controller": None,
        },
    )
    data = one.model_dump(by_alias=True)
    copy = dict(data["stations"][0])
    copy["radio"] = RADIO | {"receive_a": RADIO["receive_a"] * 1.04} | sources
    return Scenario.model_validate(data | {"stations": (data["stations"][0], copy)}, by_alias=True)


def test_two_copies_that_differ_by_4_percent_are_not_too_close_to_call() -> None:
    # By hand: 9 Ah at 0.75 and at 0.78 A are 12.0 and 11.5 h; label, meter and habit are shared,
    # so that the half hour stands whatever they are off by.
    comparison = simulate(two_copies())
    ends = [run.clocks.receive.hours for run in comparison.runs if run is not None]
    assert ends[0] is not None
    assert ends[1] is not None
    assert ends[0] - ends[1] == pytest.approx(0.5, abs=0.1)
    assert "B ends first" in verdict(comparison).sentences[0]


def test_an_error_of_its_own_still_blurs_the_order() -> None:
    own = {"sources": {"receive_a": {"from": "guess", "spread": 0.3}}}
    assert "Too close to call" in verdict(simulate(two_copies(**own))).sentences[0]


def test_equal_fields_sources_and_spreads_are_one_error() -> None:
    assert error_key("extras.0.power_w", "guess", 0.2) == error_key(
        "shared.1.power_w", "guess", 0.2
    )
    assert error_key("radio.receive_a", "guess", 0.2) != error_key("radio.receive_a", "guess", 0.1)
    [one, other] = (load_errors(run) for run in simulate(two_copies()).runs if run is not None)
    assert one.keys() == other.keys()
