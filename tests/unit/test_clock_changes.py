"""Runs on days of 23 and 25 hours, across midnight, in polar day and night."""

from __future__ import annotations

from datetime import date, timedelta

import pytest

from model.engine.comparison import simulate
from model.engine.run import StationRun
from model.scenario.scenario import Scenario


def run(day: date, zone: str, plan: list[dict[str, object]], **day_fields: object) -> StationRun:
    scenario = Scenario.model_validate(
        {
            "site": {"latitude_deg": 47.0, "longitude_deg": 10.0, "timezone": zone},
            "day": {"date": day, **day_fields},
            "plan": plan,
            "stations": [
                {
                    "name": "A",
                    "radio": {"receive_a": 1.0},
                    "battery": {"chemistry": "LFP", "capacity_ah": 1000.0},
                }
            ],
        }
    )
    (only,) = simulate(scenario).runs
    assert only is not None
    return only


NIGHT_WATCH = [{"start": "22:00", "end": "06:00", "activity": "watch"}]


@pytest.mark.parametrize(
    ("day", "hours"),
    [
        # Central Europe: clocks skip 02:00-03:00 on 28 March 2027, repeat it on 31 October.
        (date(2027, 3, 27), 7.0),
        (date(2027, 10, 30), 9.0),
        (date(2027, 6, 12), 8.0),
    ],
)
def test_a_night_watch_follows_the_wall_clock(day: date, hours: float) -> None:
    watched = run(day, "Europe/Rome", NIGHT_WATCH, start_hour=12.0)
    assert watched.sums.by_use_ah["receive"] == pytest.approx(hours, abs=1e-9)
    assert watched.inputs.steps == 1440


def test_times_carry_the_offset_that_holds_then() -> None:
    watched = run(date(2027, 3, 27), "Europe/Rome", NIGHT_WATCH, start_hour=12.0)
    assert watched.clock.start.utcoffset() == timedelta(hours=1)
    assert watched.clock.at(1440).utcoffset() == timedelta(hours=2)
    assert f"{watched.clock.at(1440):%H:%M}" == "13:00"


def test_a_zone_of_half_hour_steps_runs() -> None:
    # Lord Howe Island sets its clocks by half an hour.
    watched = run(date(2027, 4, 3), "Australia/Lord_Howe", NIGHT_WATCH, start_hour=12.0)
    assert watched.sums.by_use_ah["receive"] == pytest.approx(8.5, abs=1e-9)


def test_a_plan_across_midnight_repeats_each_day() -> None:
    watched = run(date(2027, 6, 12), "Europe/Rome", NIGHT_WATCH, days=3)
    assert watched.sums.by_use_ah["receive"] == pytest.approx(3 * 8.0, abs=1e-9)


def test_a_block_that_starts_within_a_step_counts_in_proportion() -> None:
    scenario = Scenario.model_validate(
        {
            "site": {"latitude_deg": 0.0, "longitude_deg": 0.0},
            "day": {"date": date(2027, 6, 1)},
            "plan": [{"start": "00:07", "end": "00:23", "activity": "watch"}],
            "stations": [
                {
                    "name": "A",
                    "radio": {"receive_a": 1.0},
                    "battery": {"chemistry": "LFP", "capacity_ah": 10.0},
                }
            ],
        }
    )
    (coarse,) = simulate(scenario, step_min=10.0).runs
    assert coarse is not None
    assert coarse.flow.load_a[:4].tolist() == pytest.approx([0.3, 1.0, 0.3, 0.0])


@pytest.mark.parametrize(("day", "light"), [(date(2027, 6, 21), True), (date(2027, 12, 21), False)])
def test_polar_day_and_polar_night_run(day: date, light: bool) -> None:
    scenario = Scenario.model_validate(
        {
            "site": {
                "latitude_deg": 78.2,
                "longitude_deg": 15.6,
                "timezone": "Arctic/Longyearbyen",
            },
            "day": {"date": day, "days": 2},
            "plan": [{"start": "00:00", "end": "24:00", "activity": "watch"}],
            "stations": [
                {
                    "name": "A",
                    "radio": {"receive_a": 0.3},
                    "battery": {"chemistry": "LFP", "capacity_ah": 10.0},
                    "controller": {"kind": "mppt"},
                    "panel": {"rated_w": 50.0},
                }
            ],
        }
    )
    (only,) = simulate(scenario).runs
    assert only is not None
    lit_steps = int((only.inputs.panel_output_w > 0).sum())
    assert lit_steps == (only.inputs.steps if light else 0)
    assert (only.clocks.receive.until is None) == light
