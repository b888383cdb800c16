"""A run taken up now against one that begins at that hour with that charge."""

from __future__ import annotations

from datetime import date, timedelta

import numpy as np
import pytest

from model.advice.act_now import search_act_now
from model.engine.comparison import simulate
from model.engine.now import comparison_from_now, from_now
from model.support.progress import finish
from model.verdict.headline import headline
from tests.unit.scenario_maker import BATTERY, scenario


@pytest.mark.parametrize("ah_left", [2.0, 6.0, 15.0])
def test_from_now_on_it_is_the_run_that_begins_there(ah_left: float) -> None:
    given = scenario(day={"days": 2, "start_hour": 12.0}, station={"panel": None})
    planned = simulate(given)
    at = planned.clock.at(9 * 60)
    run = from_now(given, 0, at, ah_left)
    # Begun at that hour: the same loads, the same night, on one day less at the end.
    begun = scenario(
        day={"days": 2, "start_hour": 21.0},
        station={"panel": None, "start_fraction": ah_left / BATTERY["capacity_ah"]},
    )
    other = simulate(begun).runs[0]
    assert other is not None
    steps = run.clock.steps - 9 * 60
    np.testing.assert_allclose(run.flow.stored_ah[9 * 60 :], other.flow.stored_ah[:steps])
    first, second = run.clocks.receive.until, other.clocks.receive.until
    end = run.clock.at(run.clock.steps)
    assert first == (second if second is not None and second < end else None)


@pytest.mark.parametrize("changes_on", [date(2026, 3, 28), date(2026, 10, 24)])
def test_a_moment_after_the_clocks_have_changed_is_the_one_meant(changes_on: date) -> None:
    given = scenario(day={"date": changes_on, "days": 2, "start_hour": 12.0})
    clock = simulate(given).clock
    assert clock.at(0).utcoffset() != clock.at(clock.steps).utcoffset()
    step = 20 * 60
    assert from_now(given, 0, clock.at(step), 5.0).judged_from == step


def test_what_was_before_is_not_judged() -> None:
    given = scenario(
        day={"days": 2}, station={"panel": None, "battery": BATTERY | {"capacity_ah": 8.0}}
    )
    planned = simulate(given)
    gone = planned.runs[0].clocks.receive.until
    at = gone + timedelta(hours=2)
    now = comparison_from_now(planned, 0, at, 7.9)
    run = now.runs[0]
    for clock in (run.clocks.receive, run.clocks.full_power, run.clocks.reduced_power):
        assert clock.until is None or clock.until >= at
    assert run.lowest.at >= at
    assert headline(now).text != headline(planned).text


def test_cold_days_that_are_past_are_not_blamed_for_what_ends_now() -> None:
    # Three days of January below 0 °C; as planned the panel would carry it if it might charge.
    given = scenario(
        day={
            "date": date(2027, 1, 16),
            "days": 3,
            "start_hour": 8.0,
            "low_c": -6.0,
            "high_c": -1.0,
        },
        plan=({"start": "00:00", "end": "24:00", "activity": "watch"},),
        station={
            "start_fraction": 1.0,
            "panel": {"rated_w": 100.0, "mount": "fixed", "tilt_deg": 60.0},
            "battery": BATTERY | {"capacity_ah": 30.0},
        },
    )
    planned = simulate(given)
    run = planned.runs[0]
    assert run is not None
    assert run.clocks.receive.because == "frost"
    # Read at 20:00, what is left is gone long before there is light to refuse.
    at = planned.clock.at(12 * 60)
    now = comparison_from_now(planned, 0, at, 8.0)
    read = now.runs[0]
    assert read is not None
    assert read.clocks.receive.until is not None
    assert read.clocks.receive.until < at + timedelta(hours=9)
    assert read.clocks.receive.because is None
    assert "Too cold" not in headline(now).text
    # With the charge that was planned there, frost is the reason as before.
    kept = from_now(given, 0, at, float(run.flow.stored_ah[12 * 60]))
    assert kept.clocks.receive == run.clocks.receive


def test_a_moment_outside_the_run_is_refused() -> None:
    given = scenario()
    clock = simulate(given).clock
    for at in (clock.start - timedelta(minutes=1), clock.at(clock.steps)):
        with pytest.raises(ValueError, match="outside the run"):
            from_now(given, 0, at, 5.0)


def test_what_can_be_done_now_is_proved_from_the_reading_on() -> None:
    given = scenario(
        day={"days": 2},
        plan=({"start": "00:00", "end": "24:00", "activity": "watch"},),
        station={"panel": None, "battery": BATTERY | {"capacity_ah": 30.0}},
    )
    planned = simulate(given)
    at = planned.clock.at(10 * 60)
    base = from_now(given, 0, at, 4.0).clocks.receive.until
    assert base is not None
    found = finish(search_act_now(planned, 0, at, 4.0))
    assert found
    assert found[0].key == "short_watch"
    for offer in found:
        until = from_now(offer.changed, 0, at, 4.0).clocks.receive.until
        assert offer.until == until
        assert until is None or until > base
        assert offer.changed.stations[0].battery == given.stations[0].battery


def test_a_station_that_lasts_from_now_on_is_offered_nothing() -> None:
    planned = simulate(scenario(day={"days": 1}))
    full_ah = planned.scenario.stations[0].battery.full_ah
    at = planned.clock.at(planned.clock.steps - 60)
    assert finish(search_act_now(planned, 0, at, full_ah)) == ()
