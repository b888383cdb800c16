"""What is named as the cause of an end is what ended it: frost, the protection, or the volts."""

from __future__ import annotations

from datetime import date
from math import inf

import pytest

from model.advice.advice import cures, rerun
from model.editing.paths import with_value
from model.engine.comparison import Comparison, simulate
from model.sizing.criterion import shortfall, trial
from model.verdict.table import verdict
from tests.unit.scenario_maker import BATTERY, NET, RADIO, scenario

WATCH = {"start": "00:00", "end": "24:00", "activity": "watch"}


def winter(panel_w: float, low_c: float, high_c: float) -> Comparison:
    """Run a 30 Ah lithium kit with a panel, listening for three days of January."""
    return simulate(
        scenario(
            day={
                "date": date(2027, 1, 16),
                "days": 3,
                "start_hour": 8.0,
                "low_c": low_c,
                "high_c": high_c,
            },
            plan=(WATCH,),
            station={
                "start_fraction": 1.0,
                "panel": {"rated_w": panel_w, "mount": "fixed", "tilt_deg": 60.0},
                "battery": BATTERY | {"capacity_ah": 30.0},
            },
        )
    )


def test_a_kit_that_dies_because_charging_was_refused_says_frost() -> None:
    comparison = winter(100.0, -6.0, -1.0)
    [run] = comparison.runs
    assert run is not None
    clock = run.clocks.receive
    assert (clock.cause, clock.because) == ("empty", "frost")
    # By hand: 30 Ah, less the 0.19 that the cold holds back, is all that it gives: 24.2 Ah, at
    # 0.75 A 32 hours; in the other 16 of the 48 the panel carried the radio.
    step = round((clock.hours or 0) * 60)
    held_back = run.inputs.climate.cold_floor_fraction[step]
    given_ah = run.flow.battery_a[:step].sum() / 60
    assert given_ah == pytest.approx(30 * (1 - held_back), rel=0.01)
    assert (clock.hours or 0) > given_ah / 0.75 + 12
    # All that while not one Ah was taken, though the panel could have given more than was drawn.
    assert run.flow.battery_a[:step].min() >= 0
    assert run.flow.panel_able_a[:step].sum() > run.flow.load_a[:step].sum()
    assert (
        "too cold to charge (cells below 0\N{NO-BREAK SPACE}°C)" in verdict(comparison).sentences[0]
    )


def test_the_remedy_that_takes_the_cause_away_stands_first_among_those_that_last() -> None:
    comparison = winter(100.0, -6.0, -1.0)
    found = cures(comparison, 0)
    lasting = [cure.action.key for cure in found if cure.gained_h == inf]
    # Keeping it warm and a short watch both last: a habit does not stand before the cause.
    assert lasting[0] == "battery_warm"
    assert "short_watch" in lasting
    # What has to be carried comes last of what lasts.
    assert lasting.index("second_battery") > lasting.index("short_watch")
    for cure in found:
        lasts = rerun(cure.action.changed, 0).clocks.receive.until is None
        assert lasts or cure.gained_h < inf


@pytest.mark.parametrize(
    ("panel_w", "low_c", "high_c"),
    # A panel of 1 W would not have saved it; at 2 to 8 °C nothing is refused.
    [(1.0, -6.0, -1.0), (1.0, 2.0, 8.0)],
)
def test_frost_is_not_named_where_it_ended_nothing(
    panel_w: float, low_c: float, high_c: float
) -> None:
    comparison = winter(panel_w, low_c, high_c)
    [run] = comparison.runs
    assert run is not None
    assert run.clocks.receive.cause == "empty"
    assert run.clocks.receive.because is None
    assert "too cold to charge" not in " ".join(verdict(comparison).sentences)


def of_key_down(limit_a: float, least_v: float) -> Comparison:
    """Run a radio of 2 A + 1.6 A per root watt on a battery that loses no volts."""
    return simulate(
        scenario(
            plan=(WATCH | {"end": "20:00"}, NET | {"rf_w": 100.0}),
            station={
                "start_fraction": 1.0,
                "radio": RADIO
                | {"key_down": ((25.0, 10.0), (100.0, 18.0)), "supply_min_v": least_v},
                "battery": BATTERY
                | {
                    "capacity_ah": 60.0,
                    "tested_fraction": 1.0,
                    "resistance_ohm": 0.0,
                    "discharge_limit_a": limit_a,
                },
                "panel": None,
                "controller": None,
                "leads": (),
            },
        )
    )


def test_where_the_protection_ends_full_power_it_is_named_and_not_the_volts() -> None:
    comparison = of_key_down(15.0, 10.0)
    [run] = comparison.runs
    assert run is not None
    assert run.clocks.full_power.cause == "board"
    said = " ".join(verdict(comparison).sentences).replace("\N{NO-BREAK SPACE}", " ")
    assert "the battery's protection opens at 15 A" in said
    # By hand: 2 A + 1.6 A x sqrt(P) = 15 A at P = 8.125² = 66 W.
    assert "66 W, as the operator turns it down" in said
    assert "voltage" not in said


def test_where_the_volts_end_full_power_the_protection_is_not_named() -> None:
    comparison = of_key_down(30.0, 13.6)
    [run] = comparison.runs
    assert run is not None
    assert run.clocks.full_power.cause == "sag"
    said = " ".join(verdict(comparison).sentences)
    assert "voltage" in said
    assert "protection" not in said


@pytest.mark.parametrize("start_hour", [17.5, 18.0])
def test_an_end_has_one_name_whenever_the_run_starts(start_hour: float) -> None:
    # 12 June 2027 is a Saturday. 9 Ah at 0.75 A are 12 h: by hand 05:30 or 06:00 on Sunday, and
    # a few minutes less, as the last of the charge no longer holds 10.5 V.
    comparison = simulate(
        scenario(
            day={"date": date(2027, 6, 12), "days": 2, "start_hour": start_hour},
            plan=(WATCH,),
            station={
                "start_fraction": 1.0,
                "battery": BATTERY | {"capacity_ah": 9.0, "kept": "warm", "warm_c": 25.0},
                "panel": None,
                "controller": None,
            },
        )
    )
    hour = "05:20" if start_hour == 17.5 else "05:50"
    [sentence, *_] = verdict(comparison).sentences
    assert f"off the air from about Sun {hour}" in sentence
    assert "night" not in sentence
    assert "day 2" not in sentence


@pytest.mark.parametrize("balanced", [False, True])
def test_a_size_is_reasoned_with_a_moment_of_the_real_run(balanced: bool) -> None:
    given = scenario(
        day={"date": date(2027, 6, 12), "days": 2, "start_hour": 8.0},
        plan=(WATCH,),
        station={
            "battery": BATTERY | {"capacity_ah": 4.0, "kept": "warm", "warm_c": 25.0},
            "reserve_fraction": 0.0,
        },
    )
    asked = trial(given, 0, balanced=balanced)
    failure = shortfall(asked, asked.station)
    assert failure is not None
    # 4 Ah at 0.75 A are 5 h 20 min: from the end of the sun on Saturday evening they do not last
    # the night, whatever became of them in the night before Saturday 08:00.
    [run] = simulate(with_value(given, "stations.0.start_fraction", 1.0)).runs
    assert run is not None
    assert failure.at == run.clocks.receive.until
    assert f"{failure.at:%a %H:%M}" in failure.words
    assert failure.words.count(":") >= 1
    assert "Fri" not in failure.words
