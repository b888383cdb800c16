"""Air temperature and cloud of each step."""

from __future__ import annotations

from datetime import date

import numpy as np
import pytest

from model.scenario.scenario import Day, Site
from model.sky.weather import air_c, okta

ROME = Site(latitude_deg=41.9, longitude_deg=12.5, timezone="Europe/Rome")
GREENWICH = Site(latitude_deg=51.5, longitude_deg=0.0)


def test_warmest_at_three_and_coldest_at_three():
    air = air_c(GREENWICH, Day(date=date(2026, 3, 1), low_c=(-4.0,), high_c=(10.0,)))
    # A minute before and after the turn are equally warm: 14:59:30 and 15:00:30.
    assert int(np.argmax(air)) in (899, 900)
    assert int(np.argmin(air)) in (179, 180)
    assert air.max() == pytest.approx(10.0, abs=1e-4)
    assert air.min() == pytest.approx(-4.0, abs=1e-4)
    assert air.mean() == pytest.approx(3.0, abs=1e-9)
    # Half way up six hours before the peak.
    assert air[9 * 60 - 1 : 9 * 60 + 1].mean() == pytest.approx(3.0, abs=1e-9)


def test_follows_the_local_clock():
    day = Day(date=date(2026, 7, 1), start_hour=12.0, low_c=(10.0,), high_c=(30.0,))
    assert int(np.argmax(air_c(ROME, day))) in (179, 180)


def test_one_value_a_run_day_counts_24_hours_from_the_start():
    day = Day(
        date=date(2026, 3, 1), start_hour=18.0, days=2,
        low_c=(0.0, 20.0), high_c=(0.0, 20.0), cloud_okta=(1.0, 7.0),
    )  # fmt: skip
    assert air_c(ROME, day) == pytest.approx(np.repeat([0.0, 20.0], 1440))
    assert okta(ROME, day) == pytest.approx(np.repeat([1.0, 7.0], 1440))


def test_one_value_holds_for_every_day():
    day = Day(date=date(2026, 3, 1), days=3, cloud_okta=(4.0,))
    assert okta(ROME, day) == pytest.approx(np.full(3 * 1440, 4.0))


@pytest.mark.parametrize(
    ("when", "jump_step", "jump_hours"), [((2026, 3, 29), 120, 2.0), ((2026, 10, 25), 180, 0.0)]
)
def test_a_shifted_clock_shifts_the_air(when, jump_step, jump_hours):
    # 02:00 becomes 03:00 on the first date; 03:00 becomes 02:00 on the second.
    air = air_c(ROME, Day(date=date(*when), low_c=(0.0,), high_c=(20.0,)))
    clock_h = 3.0 if jump_hours else 2.0
    expected = 10.0 + 10.0 * np.cos(2.0 * np.pi * (clock_h + 0.5 / 60.0 - 15.0) / 24.0)
    assert air[jump_step] == pytest.approx(expected)
    assert abs(air[jump_step] - air[jump_step - 1]) > 0.1
    assert np.abs(np.diff(np.delete(air, jump_step))).max() < 0.6


def test_coarser_steps_take_the_middle():
    day = Day(date=date(2026, 3, 1), low_c=(0.0,), high_c=(20.0,))
    coarse, fine = air_c(GREENWICH, day, 10.0), air_c(GREENWICH, day)
    assert coarse == pytest.approx(fine.reshape(-1, 10).mean(axis=1), abs=1e-3)


def test_arrays_are_read_only():
    day = Day(date=date(2026, 3, 1))
    for values in (air_c(ROME, day), okta(ROME, day)):
        with pytest.raises(ValueError, match="read-only"):
            values[0] = 1.0
