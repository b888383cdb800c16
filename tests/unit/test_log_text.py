"""A log copied into a sheet and pasted back, and tables that people type."""

from __future__ import annotations

import pytest

from model.engine.comparison import simulate
from model.engine.run import StationRun
from model.field.log_text import log_text, read_log_text
from model.scenario.scenario import Scenario
from model.scenario.station import FieldReading
from tests.window.day_scenes import scene, station


@pytest.fixture(scope="module")
def scenario() -> Scenario:
    return scene(station("kit"))


@pytest.fixture(scope="module")
def run(scenario: Scenario) -> StationRun:
    [made] = simulate(scenario).runs
    assert made is not None
    return made


LOG = (
    FieldReading(day=1, at="12:00", used_ah=-1.25, panel_a=3.5, note="=tea"),
    FieldReading(day=1, at="22:30", battery_v=13.1, at_rest=True, load_a=0.412),
    FieldReading(day=2, at="04:10", event="off"),
)


def test_what_is_copied_is_pasted_back_the_same(run: StationRun, scenario: Scenario) -> None:
    text = log_text(run, LOG)
    assert text.splitlines()[0].split("\t")[:2] == ["Date", "Time"]
    assert read_log_text(run, scenario, text) == (LOG, ())


def test_columns_are_known_by_their_heads_in_any_order(run: StationRun, scenario: Scenario) -> None:
    text = "Used (Ah);Time;Panel A;Day\n4,5;9:05;2,1;2\n5;21.30;;2025-06-13\n"
    assert read_log_text(run, scenario, text) == (
        (
            FieldReading(day=2, at="09:05", used_ah=4.5, panel_a=2.1),
            FieldReading(day=1, at="21:30", used_ah=5.0),
        ),
        (),
    )


def test_each_row_that_is_none_is_told_and_the_others_are_taken(
    run: StationRun, scenario: Scenario
) -> None:
    text = (
        "Date\tTime\tUsed\tSeen\n"
        "Fri 13 Jun\t25:00\t1\t\n"
        "Sat 1 Mar\t12:00\t1\t\n"
        "Fri 13 Jun\t12:00\tlots\t\n"
        "Fri 13 Jun\t12:00\t\t\n"
        "Fri 13 Jun\t12:00\t\tasleep\n"
        "Fri 13 Jun\t13:00\t2 Ah\tno change\n"
    )
    readings, faults = read_log_text(run, scenario, text)
    assert readings == (FieldReading(day=1, at="13:00", used_ah=2.0, event="no change"),)
    assert len(faults) == 5
    for fault, words in zip(
        faults,
        ("must be a time", "not one of the run", "not understood", "nothing was read", "none of: "),
        strict=True,
    ):
        assert words in fault


def test_what_is_no_table_is_said_in_one_line(run: StationRun, scenario: Scenario) -> None:
    readings, faults = read_log_text(run, scenario, "hello")
    assert readings == ()
    assert len(faults) == 1
