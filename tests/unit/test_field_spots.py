"""Where readings stand on the day's plot, against sums by hand."""

from __future__ import annotations

import pytest

from model.engine.comparison import simulate
from model.field.field_spots import spots
from model.field.log_check import FieldCheck, field_check
from model.field.observations import step_of
from model.scenario.station import FieldReading
from tests.window.day_scenes import scene, station


def checked(**reading: object) -> FieldCheck:
    run = simulate(scene(station("kit"))).runs[0]
    assert run is not None
    return field_check(run, (FieldReading.model_validate({"day": 1, **reading}),))


def test_ampere_hours_are_a_charge_below_full() -> None:
    [spot] = spots(checked(at="12:00", used_ah=4.5))
    assert spot.on == "charge"
    # 20 Ah, of which nine tenths are there: 18 Ah, if the battery gives them and was as full as
    # entered, which the counter does not tell.
    assert spot.amount == pytest.approx(1 - 4.5 / 18, abs=0.05)
    # A counter is good to 2 % and 10 mA: after six hours 0.15 Ah.
    assert spot.low < spot.amount - 0.15 / 18
    assert spot.high > spot.amount + 0.15 / 18
    assert spot.is_believed


def test_more_than_the_battery_holds_is_hardly_any_charge() -> None:
    [spot] = spots(checked(at="12:00", used_ah=25.0))
    assert spot.amount < 0.1
    assert spot.low == 0.0


def test_a_panel_s_current_is_its_power_at_the_bus() -> None:
    check = checked(at="12:00", panel_a=9.0, used_ah=9.0)
    panel = next(spot for spot in spots(check) if spot.on == "panel")
    reading = check.checks[0].reading
    step = step_of(check.predicted, reading)
    bus_v = check.predicted.flow.bus_v[step]
    assert panel.amount == pytest.approx(9.0 * bus_v)
    assert panel.is_believed
    assert panel.low < panel.amount < panel.high


def test_what_does_not_count_is_told_apart_and_volts_that_fit_any_charge_are_not_placed() -> None:
    # A lithium iron phosphate battery at rest: 13.2 V says next to nothing of its charge.
    assert spots(checked(at="12:00", battery_v=13.2, at_rest=True)) == ()
    assert spots(checked(at="12:00", battery_v=13.2)) == ()
    # By night next to no sun is expected.
    [spot] = spots(checked(at="23:30", panel_a=0.2))
    assert spot.on == "panel"
    assert not spot.is_believed


def test_rested_volts_that_tell_are_placed() -> None:
    check = checked(at="12:00", battery_v=12.6, at_rest=True)
    assert check.checks[0].credit.believable
    [spot] = spots(check)
    assert spot.on == "charge"
    assert 0.0 <= spot.low < spot.amount < spot.high < 0.2
