"""Shade between two local times takes beam and circumsolar light, and nothing else."""

from __future__ import annotations

from datetime import date

import numpy as np
import pytest

from model.scenario.scenario import Day, Site
from model.scenario.station import Panel
from model.sky.shade import beam_left
from model.sky.timeline import timeline
from tests.planned import panel_light, sky

ROME = Site(latitude_deg=41.9, longitude_deg=12.5, timezone="Europe/Rome")
JUNE = Day(date=date(2026, 6, 21), start_hour=0.0)
# No beam passes rain.
RAIN = Day(date=date(2026, 6, 21), start_hour=0.0, sky=(0.0,))


def plane(day: Day, *shade: tuple[str, str, float]) -> np.ndarray:
    light = panel_light(ROME, day, Panel(rated_w=60.0, shade=shade))
    return np.asarray(light.plane_w_m2)


def left(*shade: tuple[str, str, float], start_hour: float = 0.0) -> np.ndarray:
    clock = timeline(ROME, JUNE.model_copy(update={"start_hour": start_hour}))
    return np.asarray(beam_left(shade, clock))


def test_shade_stands_from_its_first_minute_to_before_its_last() -> None:
    share = left(("09:30", "12:00", 0.25))
    assert list(np.flatnonzero(share < 1)) == list(range(570, 720))
    assert set(share[570:720]) == {0.25}


def test_shade_crosses_midnight_and_follows_the_local_clock() -> None:
    # A run from 18:00: 22:00 is its minute 240, 02:00 its minute 480.
    share = left(("22:00", "02:00", 0.0), start_hour=18.0)
    assert list(np.flatnonzero(share < 1)) == list(range(240, 480))


def test_one_shade_behind_another_takes_its_share_of_what_is_left() -> None:
    share = left(("09:00", "11:00", 0.5), ("10:00", "12:00", 0.4))
    assert share[[545, 605, 665]] == pytest.approx([0.5, 0.2, 0.4])


def test_whole_shade_leaves_the_uniform_light_of_the_sky() -> None:
    # Hay and Davies: of the diffuse light, 1 - DNI / extraterrestrial is uniform; a flat panel
    # sees no ground.
    light = sky(ROME, JUNE)
    uniform = light.dhi_w_m2 * (1.0 - light.dni_w_m2 / light.extraterrestrial_w_m2)
    assert plane(JUNE, ("00:00", "24:00", 0.0)) == pytest.approx(uniform, abs=1e-9)


def test_the_light_goes_with_the_share_and_only_within_the_hours() -> None:
    whole, dark = plane(JUNE), plane(JUNE, ("14:00", "16:00", 0.0))
    half = plane(JUNE, ("14:00", "16:00", 0.5))
    assert half == pytest.approx((whole + dark) / 2, abs=1e-9)
    outside = np.r_[0:840, 960:1440]
    assert np.array_equal(whole[outside], dark[outside])
    assert (dark[840:960] < 0.5 * whole[840:960]).all()


def test_shade_takes_nothing_where_no_beam_falls() -> None:
    assert plane(RAIN, ("00:00", "24:00", 0.0)) == pytest.approx(plane(RAIN), abs=1e-9)
