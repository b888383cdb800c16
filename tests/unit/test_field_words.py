"""What a field check says, sentence by sentence, and returns seen after an end."""

from __future__ import annotations

from dataclasses import replace
from math import inf
from pathlib import Path
from typing import get_args

import pytest

from model.editing.faults import ScenarioError
from model.engine.comparison import simulate
from model.engine.run import StationRun
from model.field.causes import Cause, Explanation
from model.field.field_outlook import EndOutlook
from model.field.field_words import (
    bench_words,
    cause_words,
    event_sentence,
    explanation_sentence,
    outlook_sentences,
    outside_sentence,
    reading_day,
    verdict,
)
from model.field.log_check import Check, FieldCheck, Quantity, check_reading, field_check
from model.field.logger_table import table_text
from model.field.meter_accuracy import Credit
from model.field.unknowns import Unknown
from model.scenario.station import FieldReading
from tests.plain import plain
from tests.window.day_scenes import BIG_RADIO, scene, station


@pytest.fixture(scope="module")
def run() -> StationRun:
    small = station("kit")["battery"] | {"capacity_ah": 8.0}
    [made] = simulate(scene(station("kit", radio=BIG_RADIO, battery=small))).runs
    assert made is not None
    return made


@pytest.fixture(scope="module")
def checked(run: StationRun) -> FieldCheck:
    """A log with an end and a return in it."""
    gone, back = run.clocks.receive.until, run.clocks.receive.back_at
    assert gone is not None
    assert back is not None
    day = [(at.date() - run.clock.start.date()).days + 1 for at in (gone, back)]
    return field_check(
        run,
        (
            FieldReading(day=day[0], at=f"{gone:%H:%M}", event="off"),
            FieldReading(day=day[1], at=f"{back:%H:%M}", event="back"),
        ),
    )


def check_of(
    run: StationRun, quantity: Quantity, measured: float, *, credible: bool = True
) -> Check:
    reading = FieldReading(at="12:00")
    credit = Credit(credible, "")
    return Check(reading, run.clock.at(360), quantity, measured, 5.0, 4.0, 6.0, False, credit)


@pytest.mark.parametrize(
    ("quantity", "more", "less"),
    [
        ("used_ah", "More charge has been used", "Less charge has been used"),
        ("battery_v", "Less charge has been used", "More charge has been used"),
        ("panel_a", "More sun than predicted", "Less sun than predicted"),
        ("load_a", "More is drawn than predicted", "Less is drawn than predicted"),
    ],
)
def test_each_reading_that_differs_hints_at_something(
    run: StationRun, quantity: Quantity, more: str, less: str
) -> None:
    assert quantity in get_args(Quantity)
    assert verdict(check_of(run, quantity, 9.0)).startswith(more)
    assert verdict(check_of(run, quantity, 1.0)).startswith(less)
    assert "says nothing" in verdict(check_of(run, quantity, 9.0, credible=False))
    assert "As predicted" in verdict(replace(check_of(run, quantity, 9.0), agrees=True))


def cause(key: str, group: str, words: str, factor: float) -> Cause:
    unknown = Unknown(key, group, words, 0.035)  # type: ignore[arg-type]
    return Cause(unknown, 0.6, 0.1, factor, factor - 0.03, factor + 0.03, 0.05)


def test_a_cause_is_named_with_how_far_it_is_off(run: StationRun) -> None:
    said = [
        plain(cause_words(run, each))
        for each in (
            cause("battery", "battery", "the battery", 0.75),
            cause("start", "start", "the charge at the start", 0.8),
            cause("sun", "sun", "the sun", 0.5),
            cause("receive", "load", "receiving", 1.2),
            cause("laptop", "load", "the computer", 0.8),
        )
    ]
    assert said == [
        "the battery gives about 75 % of what is entered (72 to 78 %)",
        "it started at about 76 % (73 to 79 %), not at 95 %",
        "the panel gives about 50 % of what is entered (47 to 53 %)",
        "receiving takes about 20 % more than entered (17 to 23 %)",
        "the computer takes about 20 % less than entered (17 to 23 %)",
    ]
    two = Explanation(
        (cause("battery", "battery", "", 0.75), cause("receive", "load", "receiving", 1.2)), 0.6
    )
    assert explanation_sentence(run, two).endswith(": about 6 in 10.")
    assert (
        explanation_sentence(run, Explanation((), 0.3)) == "All is about as entered: about 3 in 10."
    )


def test_what_to_measure_on_the_bench_names_the_part(run: StationRun) -> None:
    assert "discharge test" in bench_words(run, "battery")
    assert "at rest, before leaving" in bench_words(run, "start")
    assert "near noon" in bench_words(run, "sun")
    assert "dummy load" in bench_words(run, "transmit")
    assert "receive current" in bench_words(run, "receive")
    assert "its current alone" in bench_words(run, "controller")


def test_after_a_return_the_next_end_is_foretold(run: StationRun, checked: FieldCheck) -> None:
    found = checked.found
    assert found is not None
    assert not found.outlook.is_off
    assert found.outlook.back_h is None
    assert found.causes[0].share < 0.5
    assert [event_sentence(each.reading)[:4] for each in found.observed] == ["Off ", "Back"]
    assert outlook_sentences(checked)[0].startswith("On the air")


def said_of(checked: FieldCheck, **changes: object) -> str:
    assert checked.found is not None
    outlook = replace(checked.found.outlook, **changes)  # type: ignore[arg-type]
    found = replace(checked.found, outlook=outlook)
    return plain(" ".join(outlook_sentences(replace(checked, found=found))))


def test_the_hour_to_plan_by_is_said_with_what_it_gives_up(checked: FieldCheck) -> None:
    ends = EndOutlook(30.0, 33.5, 31.0, 34.0, 0.0)
    said = said_of(checked, receive=ends)
    assert (
        "On the air: plan on it until Sat about 12:00, no longer." in said or "plan on it" in said
    )
    assert "planning by it gives up 3 h 30 min" in said
    lasts = said_of(checked, receive=EndOutlook(30.0, inf, 31.0, inf, 0.7))
    assert "In about 7 in 10 such trips it lasts to the end; there that gives up 18 h." in lasts
    sure = said_of(checked, receive=EndOutlook(inf, inf, inf, inf, 1.0))
    assert "On the air to the end" in sure
    power = said_of(checked, receive=ends, full_power=EndOutlook(27.0, 28.0, 27.5, 29.0, 0.0))
    assert "Full power: plan on it until" in power


def test_a_station_that_is_off_is_told_when_it_comes_back(checked: FieldCheck) -> None:
    off = said_of(checked, is_off=True, back_h=(24.0, 25.0, 26.0))
    assert "Back on the air from" in off
    assert "at the latest" in off
    assert "Then on the air again" in off
    never = said_of(checked, is_off=True, back_h=(24.0, inf, inf))
    assert "may not be back before the run ends" in never


def test_a_reading_outside_the_run_names_both(run: StationRun) -> None:
    stray = FieldReading(day=9, at="12:00", used_ah=1.0)
    assert check_reading(run, stray) == ()
    assert "is outside the run" in outside_sentence(run, stray)
    assert reading_day(run, stray) in outside_sentence(run, stray)


def test_a_table_that_cannot_be_read_is_told_by_its_name(tmp_path: Path) -> None:
    file = tmp_path / "log.csv"
    file.write_bytes(b"\xef\xbb\xbftime,amps\n")
    assert table_text(file) == "time,amps\n"
    for path in (tmp_path, tmp_path / "none.csv"):
        with pytest.raises(ScenarioError, match=path.name):
            table_text(path)
