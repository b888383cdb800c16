"""Cold, the battery's own draw, its rate exponent and the controller's profile, by hand."""

from __future__ import annotations

from datetime import date
from typing import Any

import numpy as np
import pytest
from numpy.random import default_rng

from model.editing.paths import with_value
from model.findings.rules import find
from model.odds.odds import odds
from model.odds.trips import draw_trips
from model.scenario.scenario import Scenario
from model.station.cell_temperature import floor_drawn_fraction
from tests.plain import plain
from tests.unit.scenario_maker import CONTROLLER, PANEL, scenario
from tests.unit.test_closed_forms import STEP_H, run


def charged_ah(temperature_c: float, **battery: Any) -> float:
    """Return what a 5 A charger puts in one hour into 10 Ah half full, nothing drawn."""
    charger = {
        "start_fraction": 0.5,
        "chargers": [{"current_a": 5.0, "hours": [["12:00", "13:00"]]}],
    }
    ideal = run(
        radio={"receive_a": 0.0},
        battery=battery,
        station=charger,
        day={"low_c": temperature_c, "high_c": temperature_c, "start_hour": 0.0},
    )
    return (ideal.end_fraction - 0.5) * ideal.inputs.bounds.full_ah


# A maker's table for LFP: 0.1 of the capacity from 0 to 5 °C, 0.1 to 0.2 from 5 to 10 °C, none
# below 0 °C; so 1 A, 1.5 A and 1.9 A for an hour into 10 Ah.
@pytest.mark.parametrize(
    ("temperature_c", "put_in_ah"),
    [(-1.0, 0.0), (0.0, 1.0), (4.0, 1.0), (7.5, 1.5), (9.5, 1.9), (10.0, 5.0), (25.0, 5.0)],
)
def test_cold_lithium_takes_little(temperature_c: float, put_in_ah: float) -> None:
    assert charged_ah(temperature_c) == pytest.approx(put_in_ah, abs=1e-9)


def test_tested_capacity_and_count_scale_what_cold_cells_take() -> None:
    # Two of 10 Ah that test at 0.8 are 16 Ah: 0.15 of that in the hour.
    assert charged_ah(7.5, count=2, tested_fraction=0.8) == pytest.approx(2.4, abs=1e-9)


def test_lead_has_no_such_limit() -> None:
    # Acceptance alone: the 5 Ah left to full over 2 h are 2.5 A at first.
    assert charged_ah(7.5, chemistry="AGM") > 1.5


@pytest.mark.parametrize(
    ("temperature_c", "current_a", "is_said"), [(7.5, 5.0, True), (7.5, 1.0, False), (12, 5, False)]
)
def test_too_much_for_cold_cells_is_said(
    temperature_c: float, current_a: float, is_said: bool
) -> None:
    # 0.15 x 10 Ah: 1.5 A is the most.
    said = [
        plain(finding.sentence)
        for finding in find(
            Scenario.model_validate(
                {
                    "site": {"latitude_deg": 45.0, "longitude_deg": 10.0},
                    "day": {
                        "date": date(2027, 6, 1),
                        "low_c": temperature_c,
                        "high_c": temperature_c,
                    },
                    "plan": [],
                    "stations": [
                        {
                            "radio": {"receive_a": 0.1},
                            "battery": {"chemistry": "LFP", "capacity_ah": 10.0},
                            "chargers": [{"current_a": current_a, "hours": [["12:00", "14:00"]]}],
                        }
                    ],
                }
            )
        )
        if "allow at that temperature" in plain(finding.sentence)
    ]
    assert bool(said) == is_said
    if said:
        assert "For 2 h" in said[0]
        assert "5 A where 1.5 A" in said[0]


def test_the_battery_s_own_draw_counts_for_each() -> None:
    # 0.75 A of radio and 2 x 0.125 A of boards on 2 x 10 Ah: 20 h.
    ideal = run(radio={"receive_a": 0.75}, battery={"own_a": 0.125, "count": 2})
    assert ideal.clocks.receive.hours == pytest.approx(20.0, abs=STEP_H)
    assert ideal.sums.by_use_ah["battery"] == pytest.approx(0.25 * 20.0, abs=0.01)
    assert ideal.sums.ledger_residual < 1e-6


def test_rate_exponent_of_the_file_takes_the_place_of_the_chemistry_s() -> None:
    # Peukert's law: 100 Ah at 20 h, exponent 1.2, 10 A give 8.706 h (a text-book example).
    battery = {"chemistry": "AGM", "capacity_ah": 100.0, "rate_exponent": 1.2}
    ideal = run(radio={"receive_a": 10.0}, battery=battery)
    assert ideal.clocks.receive.hours == pytest.approx(8.706, abs=2 * STEP_H)
    none = run(radio={"receive_a": 10.0}, battery=battery | {"rate_exponent": 1.0})
    assert none.clocks.receive.hours == pytest.approx(10.0, abs=2 * STEP_H)


@pytest.mark.parametrize(
    ("profile", "is_wrong"), [("as battery", False), ("LFP", False), ("AGM", True)]
)
def test_a_controller_set_to_another_chemistry_is_an_error(profile: str, is_wrong: bool) -> None:
    kit = {"panel": PANEL, "controller": CONTROLLER | {"profile": profile}}
    found = [
        finding
        for finding in find(scenario(station=kit))
        if finding.path.endswith("controller.profile")
    ]
    assert [finding.level for finding in found] == ["error"] * is_wrong
    if found:
        assert "lead-acid (AGM)" in plain(found[0].sentence)


def given_ah(temperature_c: float, current_a: float, chemistry: str = "LFP") -> float:
    """Return what 20 Ah give at a steady current until they are empty, volts aside."""
    ideal = run(
        radio={"receive_a": current_a},
        battery={"chemistry": chemistry, "capacity_ah": 20.0, "discharge_limit_a": None},
        day={"low_c": temperature_c, "high_c": temperature_c},
    )
    hours = ideal.clocks.receive.hours
    assert hours is not None
    return current_a * hours


# By hand: 20 Ah x usable / (I / 1 A)^excess, usable 0.79 and excess 0.035 at -10 °C.
@pytest.mark.parametrize(
    ("temperature_c", "current_a", "expected_ah"),
    [
        (-10.0, 1.0, 15.8),
        (-10.0, 4.0, 15.8 / 4**0.035),
        (-10.0, 20.0, 15.8 / 20**0.035),
        (0.0, 20.0, 17.4 / 20**0.03),
        # In warmth lithium gives the same at any current.
        (25.0, 1.0, 20.0),
        (25.0, 20.0, 20.0),
    ],
)
def test_cold_lithium_gives_less_at_more_current(
    temperature_c: float, current_a: float, expected_ah: float
) -> None:
    # A minute at 20 A is a third of an Ah.
    assert given_ah(temperature_c, current_a) == pytest.approx(
        expected_ah, abs=1.5 * current_a / 60
    )


# Reported in the trade: 0.8 to 0.9 of the capacity at 0 °C, 0.6 to 0.7 at -20 °C; published at
# -10 °C: 0.66 to 0.9, by cell and rate.
@pytest.mark.parametrize(
    ("temperature_c", "low", "high"), [(0.0, 0.8, 0.9), (-10.0, 0.66, 0.9), (-20.0, 0.59, 0.7)]
)
@pytest.mark.parametrize("current_a", [1.0, 4.0, 20.0])
def test_what_cold_lithium_gives_lies_where_it_is_reported(
    temperature_c: float, low: float, high: float, current_a: float
) -> None:
    share = given_ah(temperature_c, current_a) / 20
    assert low - 0.02 <= share <= high + 0.02


def test_the_cold_of_trips_spreads_by_15_points_in_hard_cold_and_by_none_in_warmth() -> None:
    kit = {"start_fraction": 1.0, "panel": None, "controller": None}
    drawn = draw_trips(scenario(station=kit), 4000, default_rng(5))
    assert drawn.cold_fraction is not None
    assert np.quantile(drawn.cold_fraction, 0.975) == pytest.approx(0.15, abs=0.01)
    assert np.quantile(drawn.cold_fraction, 0.025) == pytest.approx(-0.15, abs=0.01)
    more = np.array([-0.15, 0.0, 0.15])
    # By hand: at -10 °C 0.21 is held back; at 0 °C 0.13, and 15 points x 0.13 / 0.21 are 9.3.
    for floor, expected in (
        (0.21, [0.36, 0.21, 0.06]),
        (0.13, [0.2229, 0.13, 0.0371]),
        (0.0, [0.0, 0.0, 0.0]),
        (0.32, [0.47, 0.32, 0.17]),
    ):
        held_back = floor_drawn_fraction("LFP", np.array([[floor]]), more)
        assert held_back[0] == pytest.approx(expected, abs=1e-4)


def test_a_cell_that_gives_less_in_the_cold_ends_its_trips_earlier() -> None:
    given = scenario(
        day={"low_c": -12.0, "high_c": -8.0, "days": 2, "start_hour": 8.0},
        plan=({"start": "00:00", "end": "24:00", "activity": "watch"},),
        station={"start_fraction": 1.0, "panel": None, "controller": None},
    )
    found = odds(given, trips=400)
    telling = {driver.path: driver for driver in found.stations[0].drivers}
    assert telling["cold"].rank_share > 0.2
    warm = with_value(with_value(given, "day.low_c", (26.0,)), "day.high_c", (30.0,))
    assert "cold" not in {driver.path for driver in odds(warm, trips=400).stations[0].drivers}
