"""Sun, sky and the light on the panel: limits, laws and closed forms."""

from __future__ import annotations

from datetime import date, timedelta
from itertools import pairwise

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from model.scenario.scenario import Day, Site
from model.scenario.station import Panel
from model.sky import irradiance as sun
from model.sky.horizon import horizon_height_deg, visible_sky_share
from model.sky.irradiance import panel_facing, sun_position
from model.sky.sun_times import night_spans, sun_events, twilight_spans
from model.sky.timeline import timeline
from tests.planned import panel_light, sky

ROME = Site(latitude_deg=41.9, longitude_deg=12.5, timezone="Europe/Rome")
ARCTIC = Site(latitude_deg=78.2, longitude_deg=15.6, timezone="Europe/Oslo")
SPRING, SUMMER = Day(date=date(2026, 3, 21)), Day(date=date(2026, 6, 21))
WINTER = Day(date=date(2026, 12, 21))
FLAT = Panel(rated_w=60.0)


def fixed(tilt_deg, azimuth_deg=180.0):
    return Panel(rated_w=60.0, mount="fixed", tilt_deg=tilt_deg, azimuth_deg=azimuth_deg)


def re_aimed(hours):
    return Panel(rated_w=60.0, mount="re-aimed", re_aim_hours=hours)


def with_horizon(site, *points):
    return site.model_copy(update={"horizon": points})


def day_sum(site, day, panel):
    return float(panel_light(site, day, panel).plane_w_m2.sum())


EXTREMES = st.builds(
    Site,
    latitude_deg=st.sampled_from([-90.0, -66.56, -23.4, 0.0, 23.4, 66.56, 89.999, 90.0]),
    longitude_deg=st.sampled_from([-180.0, -0.001, 0.0, 97.3, 180.0]),
    elevation_m=st.sampled_from([-430.0, 0.0, 2999.0, 3001.0, 8850.0]),
    timezone=st.sampled_from(["UTC", "Pacific/Kiritimati", "Australia/Lord_Howe"]),
    albedo=st.sampled_from([0.0, 1.0]),
    horizon=st.sampled_from([(), ((0.0, 90.0),), ((10.0, 0.0), (10.0, 45.0), (360.0, 3.0))]),
)
DAYS = st.builds(
    Day,
    date=st.dates(date(1950, 1, 1), date(2149, 12, 31)),
    start_hour=st.sampled_from([0.0, 2.5, 23.99]),
    days=st.just(1),
    wind_m_s=st.sampled_from([0.0, 60.0]),
    sky=st.sampled_from([(1.0,), (0.9999,), (0.94,), (0.25,), (0.0,), (1.2,)]),
)
PANELS = st.sampled_from([FLAT, fixed(90.0, 0.0), fixed(37.0, 360.0), re_aimed(0.25), re_aimed(24)])


@settings(max_examples=60, deadline=None)
@given(EXTREMES, DAYS, PANELS)
def test_light_is_finite_and_never_negative_anywhere(site, day, panel):
    light = sky(site, day, 15.0)
    on_panel = panel_light(site, day, panel, 15.0)
    above = light.extraterrestrial_w_m2
    for values in (light.ghi_w_m2, light.dni_w_m2, light.dhi_w_m2, on_panel.irradiance_w_m2):
        assert np.isfinite(values).all()
        assert values.min() >= 0.0
        assert (values <= 1.5 * above).all()
    assert np.isfinite(on_panel.cell_c).all()
    assert (light.ghi_w_m2 <= light.clear_ghi_w_m2 * 1.2).all()
    assert (light.dni_w_m2 <= light.clear_dni_w_m2).all()
    height = np.radians(sun_position(site, day, 15.0).apparent_elevation_deg)
    level = np.maximum(np.sin(height), 0.0)
    assert (light.ghi_w_m2 <= above * level + 1e-9).all()
    parts = light.dhi_w_m2 + light.dni_w_m2 * level
    assert parts == pytest.approx(light.ghi_w_m2, abs=1e-9)
    assert (on_panel.irradiance_w_m2 <= on_panel.plane_w_m2 + 1e-9).all()


def test_high_sites_stop_gaining_at_the_ceiling_of_the_clear_sky():
    peaks = [
        sky(ROME.model_copy(update={"elevation_m": height}), SUMMER).ghi_w_m2.max()
        for height in (0.0, 1500.0, 3000.0, 6000.0)
    ]
    assert peaks[0] < peaks[1] < peaks[2]
    assert peaks[3] == pytest.approx(peaks[2], rel=1e-4)


def test_at_index_one_the_clear_sky_is_kept_to_the_bit():
    light = sky(ROME, SUMMER)
    assert (light.ghi_w_m2 == light.clear_ghi_w_m2).all()
    assert (light.dni_w_m2 == light.clear_dni_w_m2).all()
    assert (light.dhi_w_m2 == light.clear_dhi_w_m2).all()


@given(st.floats(0.1, 1.2), st.floats(0.001, 0.1))
@settings(max_examples=25, deadline=None)
def test_a_lower_index_never_brightens_the_level(index, less):
    one, other = (
        sky(ROME, SUMMER.model_copy(update={"sky": (by,)}), 15.0) for by in (index, index - less)
    )
    assert (other.ghi_w_m2 <= one.ghi_w_m2).all()
    assert other.dni_w_m2.sum() <= one.dni_w_m2.sum()


def test_the_sky_of_a_date_is_its_own_from_midnight_to_midnight():
    days = SPRING.model_copy(update={"start_hour": 8.0, "days": 2, "sky": (1.0, 0.25, 0.5)})
    light = sky(ROME, days)
    for span, index in ((slice(0, 960), 1.0), (slice(960, 2400), 0.25), (slice(2400, None), 0.5)):
        clear = light.clear_ghi_w_m2[span]
        assert light.ghi_w_m2[span] == pytest.approx(index * clear)
        assert clear.sum() > 0


def test_light_goes_over_into_the_clear_sky_without_a_step():
    clear, near, above = (
        sky(ROME, WINTER.model_copy(update={"sky": (index,)}))
        for index in (1.0, 1 - 1e-6, 1 + 1e-6)
    )
    for other in (near, above):
        assert other.dni_w_m2 == pytest.approx(clear.dni_w_m2, abs=0.02)
        assert other.dhi_w_m2 == pytest.approx(clear.dhi_w_m2, abs=0.02)


def test_panel_that_lies_down_is_flat_however_it_is_called():
    assert day_sum(ROME, SPRING, fixed(0.0, 77.0)) == pytest.approx(day_sum(ROME, SPRING, FLAT))
    assert day_sum(ROME, SPRING, FLAT) == pytest.approx(sky(ROME, SPRING).ghi_w_m2.sum(), rel=1e-3)


def test_east_gets_the_morning_and_west_the_evening():
    noon = 12 * 60
    east = panel_light(ROME, SPRING, fixed(60.0, 90.0)).plane_w_m2
    west = panel_light(ROME, SPRING, fixed(60.0, 270.0)).plane_w_m2
    assert east[:noon].sum() > 2 * east[noon:].sum()
    assert west[noon:].sum() > 2 * west[:noon].sum()


def test_southern_panels_look_north():
    south = Site(latitude_deg=-41.9, longitude_deg=12.5, timezone="Africa/Johannesburg")
    assert day_sum(south, SUMMER, fixed(60.0, 0.0)) > 3 * day_sum(south, SUMMER, fixed(60.0, 180.0))


def test_bright_ground_helps_a_steep_panel_and_not_a_flat_one():
    snow = ROME.model_copy(update={"albedo": 0.75})
    assert 1.03 < day_sum(snow, WINTER, fixed(70.0)) / day_sum(ROME, WINTER, fixed(70.0)) < 1.2
    assert day_sum(snow, WINTER, FLAT) == day_sum(ROME, WINTER, FLAT)


def test_level_horizon_of_no_height_changes_nothing():
    level = with_horizon(ROME, (0.0, 0.0), (180.0, 0.0))
    assert day_sum(level, SPRING, fixed(60.0)) == pytest.approx(day_sum(ROME, SPRING, fixed(60.0)))


def test_ridge_takes_all_beam_below_it():
    ridge = with_horizon(ROME, (0.0, 30.0))
    height = sun_position(ROME, WINTER).apparent_elevation_deg
    assert height.max() < 30.0
    light = sky(ROME, WINTER)
    left = panel_light(ridge, WINTER, FLAT).plane_w_m2
    uniform = light.dhi_w_m2 * (1.0 - light.dni_w_m2 / light.extraterrestrial_w_m2)
    # A ring of height h leaves a flat panel cos(h)^2 of a uniform sky.
    assert left == pytest.approx(uniform * np.cos(np.radians(30.0)) ** 2, abs=1e-9)


def test_ridge_ends_the_day_where_the_sun_goes_behind_it():
    ridge = with_horizon(ROME, (200.0, 0.0), (200.0, 20.0), (300.0, 20.0), (300.0, 0.0))
    position = sun_position(ROME, SPRING)
    free, shaded = (panel_light(site, SPRING, FLAT).plane_w_m2 for site in (ROME, ridge))
    behind = (position.azimuth_deg > 200.0) & (position.apparent_elevation_deg < 20.0)
    up = position.apparent_elevation_deg > 5.0
    assert (shaded[behind & up] < 0.7 * free[behind & up]).all()
    assert (shaded[~behind & up] > 0.85 * free[~behind & up]).all()


def test_ground_in_the_shade_of_a_ridge_gives_no_sunlight():
    snow = ROME.model_copy(update={"albedo": 0.75})
    north = fixed(90.0, 0.0)
    behind_ridge = with_horizon(snow, (90.0, 0.0), (90.0, 40.0), (270.0, 40.0), (270.0, 0.0))
    free, shaded = (panel_light(site, WINTER, north).plane_w_m2 for site in (snow, behind_ridge))
    noon = slice(700, 740)
    # The ridge stands behind the panel: all it takes is the light of the ground in front.
    assert (shaded[noon] < 0.5 * free[noon]).all()


def test_overcast_through_trees_loses_the_hidden_sky_only():
    dull = SPRING.model_copy(update={"sky": (0.25,)})
    trees = with_horizon(ROME, (0.0, 30.0))
    assert 0.5 < day_sum(trees, dull, FLAT) / day_sum(ROME, dull, FLAT) < 0.8


def test_re_aiming_often_follows_the_sun():
    aimed = panel_light(ROME, SPRING, re_aimed(0.25))
    light, up = sky(ROME, SPRING), sun_position(ROME, SPRING).apparent_elevation_deg > 5.0
    # Square to the sun to within an eighth of an hour: the whole beam falls on the panel.
    assert (aimed.plane_w_m2[up] > 0.999 * light.dni_w_m2[up]).all()


def test_re_aimed_panel_faces_the_sun_at_the_middle_of_each_interval():
    tilt, azimuth = panel_facing(ROME, SPRING, re_aimed(2.0))
    position = sun_position(ROME, SPRING)
    turns = np.flatnonzero(np.diff(tilt) != 0) + 1
    # Twelve hours and some minutes of daylight: seven settings, the last of a few minutes.
    assert len(turns) == 8
    for begin, end in pairwise(turns[:7]):
        assert end - begin == pytest.approx(120, abs=1)
        middle = (begin + end) // 2
        assert tilt[begin] == pytest.approx(90 - position.apparent_elevation_deg[middle], abs=0.3)
        assert azimuth[begin] == pytest.approx(position.azimuth_deg[middle], abs=0.4)
    assert tilt[: turns[0]].max() == tilt[turns[-1] :].max() == 0.0


def test_fixed_and_flat_panels_stand_still():
    tilt, azimuth = panel_facing(ROME, SPRING, fixed(35.0, 200.0))
    assert (set(tilt), set(azimuth)) == ({35.0}, {200.0})
    assert set(panel_facing(ROME, SPRING, FLAT)[0]) == {0.0}


def test_horizon_runs_linear_between_points_and_round_north():
    bearing = np.array([350.0, 0.0, 10.0, 100.0, 190.0, 270.0, 330.0, -10.0, 710.0])
    expected = [17.5, 20.0, 22.5, 25.0, 25.0, 5.0, 12.5, 17.5, 17.5]
    points = ((270.0, 5.0), (20.0, 25.0), (190.0, 25.0), (310.0, 10.0), (330.0, 12.5))
    points = (*points, (350.0, 17.5))
    assert horizon_height_deg(points, bearing) == pytest.approx(expected)


def test_horizon_given_at_both_ends_of_the_circle_keeps_both():
    points = ((0.0, 4.0), (180.0, 4.0), (180.0, 9.0), (360.0, 9.0))
    bearing = np.array([1.0, 179.0, 181.0, 359.0])
    assert horizon_height_deg(points, bearing) == pytest.approx([4.0, 4.0, 9.0, 9.0])


def test_ridge_behind_an_upright_panel_hides_none_of_its_sky():
    one = np.array([90.0]), np.array([180.0])
    behind = ((90.5, 0.0), (269.5, 0.0), (269.5, 60.0), (90.4, 60.0))
    in_front = ((90.0, 0.0), (90.0, 60.0), (270.0, 60.0), (270.0, 0.0))
    assert visible_sky_share(behind, *one) == pytest.approx(1.0, abs=1e-3)
    # Upright, over half a circle: the integral of cos(e)^2 from 60 deg up over that from 0.
    left = (np.radians(30.0) - np.sin(np.radians(120.0)) / 2.0) / np.radians(90.0)
    assert visible_sky_share(in_front, *one) == pytest.approx(left, abs=1e-3)


def test_re_aiming_more_often_gains_less_and_less():
    fewer = [day_sum(ROME, SPRING, re_aimed(hours)) for hours in (24.0, 6.0, 3.0, 1.0, 0.25)]
    assert fewer == sorted(fewer)
    assert fewer[-1] / fewer[2] < 1.03
    assert fewer[2] / day_sum(ROME, SPRING, fixed(45.0)) > 1.2


def test_one_aim_a_day_is_a_fixed_panel_square_to_the_noon_sun():
    position = sun_position(ROME, SPRING)
    rise, sets = (when for when, name in sun_events(ROME, SPRING) if name in ("rise", "set"))
    start = timeline(ROME, SPRING).start
    step = int(((rise + (sets - rise) / 2) - start) / timedelta(minutes=1))
    tilt = 90.0 - float(position.apparent_elevation_deg[step])
    by_hand = fixed(tilt, float(position.azimuth_deg[step]))
    assert day_sum(ROME, SPRING, re_aimed(24.0)) == pytest.approx(
        day_sum(ROME, SPRING, by_hand), rel=2e-3
    )


def test_re_aiming_does_not_depend_on_where_the_run_begins():
    whole = panel_light(ROME, SPRING.model_copy(update={"days": 2}), re_aimed(3.0)).plane_w_m2
    later = panel_light(ROME, SPRING.model_copy(update={"start_hour": 12.0}), re_aimed(3.0))
    assert later.plane_w_m2 == pytest.approx(whole[720 : 720 + 1440], abs=0.5)


def test_re_aiming_minds_the_sun_and_not_the_date():
    # Under a clock twelve hours off, daylight crosses local midnight; the light is the same.
    far = Site(latitude_deg=41.9, longitude_deg=-167.5, timezone="UTC")
    near = Site(latitude_deg=41.9, longitude_deg=-167.5, timezone="Etc/GMT+11")
    clock_far = panel_light(far, SPRING.model_copy(update={"start_hour": 11.0}), re_aimed(3.0))
    assert clock_far.plane_w_m2 == pytest.approx(
        panel_light(near, SPRING, re_aimed(3.0)).plane_w_m2, abs=1e-9
    )


def test_polar_day_is_cut_at_local_midnight():
    aimed = panel_light(ARCTIC, SUMMER, re_aimed(6.0)).plane_w_m2
    assert aimed.min() > 100.0
    # Four intervals of six hours: the panel is turned at 06:00, 12:00 and 18:00 and jumps there.
    steps = np.abs(np.diff(aimed))
    assert sorted(np.argsort(steps)[-3:] + 1) == [360, 720, 1080]


def test_polar_night_is_dark():
    assert panel_light(ARCTIC, WINTER, re_aimed(3.0)).irradiance_w_m2.max() == 0.0
    assert sun_events(ARCTIC, WINTER) == ()
    (night,) = night_spans(ARCTIC, WINTER)
    clock = timeline(ARCTIC, WINTER)
    assert night == (clock.at(0), clock.at(1440))
    assert twilight_spans(ARCTIC, WINTER) == ()


def test_polar_day_has_neither_night_nor_events():
    assert sun_events(ARCTIC, SUMMER) == ()
    assert night_spans(ARCTIC, SUMMER) == ()
    assert twilight_spans(ARCTIC, SUMMER) == ()


def test_night_and_twilight_meet_at_the_events():
    events = {name: when for when, name in sun_events(ROME, SPRING)}
    (before, after), clock = night_spans(ROME, SPRING), timeline(ROME, SPRING)
    assert before == (clock.at(0), events["dawn"])
    assert after == (events["dusk"], clock.at(1440))
    morning, evening = twilight_spans(ROME, SPRING)
    assert abs(morning[0] - events["dawn"]) < timedelta(seconds=1)
    assert abs(morning[1] - events["rise"]) < timedelta(seconds=1)
    assert abs(evening[0] - events["set"]) < timedelta(seconds=1)
    assert abs(evening[1] - events["dusk"]) < timedelta(seconds=1)


def test_nights_of_coarser_steps_are_the_same_to_some_seconds() -> None:
    for spans in (night_spans, twilight_spans):
        fine, coarse = spans(ROME, SPRING), spans(ROME, SPRING, 5.0)
        assert len(fine) == len(coarse) > 0
        for one, other in zip(fine, coarse, strict=True):
            assert abs(one[0] - other[0]) < timedelta(seconds=10)
            assert abs(one[1] - other[1]) < timedelta(seconds=10)


def test_white_nights_have_twilight_without_dusk():
    north = Site(latitude_deg=62.0, longitude_deg=25.0, timezone="Europe/Helsinki")
    assert [name for _, name in sun_events(north, SUMMER)] == ["rise", "set"]
    assert night_spans(north, SUMMER) == ()
    assert len(twilight_spans(north, SUMMER)) == 2


@pytest.mark.parametrize(("when", "offset_h"), [((2026, 3, 29), 2), ((2026, 10, 25), 1)])
def test_days_of_23_and_25_hours(when, offset_h):
    day = Day(date=date(*when))
    rise = next(instant for instant, name in sun_events(ROME, day) if name == "rise")
    assert rise.utcoffset() == timedelta(hours=offset_h)
    assert panel_light(ROME, day, re_aimed(3.0)).plane_w_m2.shape == (1440,)
    utc = Site(latitude_deg=41.9, longitude_deg=12.5)
    shift = -timeline(ROME, day).start.utcoffset() / timedelta(hours=1) % 24
    same = day.model_copy(update={"date": day.date - timedelta(days=1), "start_hour": shift})
    assert sky(ROME, day).ghi_w_m2 == pytest.approx(sky(utc, same).ghi_w_m2)


def test_events_of_each_day_come_in_order():
    events = sun_events(ROME, SPRING.model_copy(update={"days": 3, "start_hour": 12.0}))
    assert [name for _, name in events] == ["set", "dusk", "dawn", "rise"] * 3
    assert [when for when, _ in events] == sorted(when for when, _ in events)


def test_cells_are_as_warm_as_the_air_in_the_dark():
    day = Day(date=date(2026, 6, 21), low_c=(4.0,), high_c=(20.0,))
    light = panel_light(ROME, day, FLAT)
    dark = light.plane_w_m2 == 0.0
    assert light.cell_c[dark].max() < 20.0
    assert light.cell_c.max() > 40.0


def test_wind_cools_the_cells():
    breeze = SUMMER.model_copy(update={"wind_m_s": 6.0})
    assert (
        panel_light(ROME, breeze, FLAT).cell_c.max() < panel_light(ROME, SUMMER, FLAT).cell_c.max()
    )


def test_other_parts_of_a_panel_do_not_recompute_the_sky():
    first = panel_light(ROME, SPRING, fixed(30.0))
    other = Panel(rated_w=999.0, voc_v=50.0, mount="fixed", tilt_deg=30.0, azimuth_deg=180.0)
    assert panel_light(ROME, SPRING, other) is first
    # What the mount does not use does not count either.
    assert panel_light(ROME, SPRING, FLAT) is panel_light(
        ROME, SPRING, Panel(rated_w=5.0, tilt_deg=40.0, azimuth_deg=10.0, re_aim_hours=5.0)
    )


def test_warmth_does_not_recompute_the_light():
    panel_light(ROME, SPRING, fixed(31.0))
    before = sun._plane_light.cache_info().misses
    warmer = SPRING.model_copy(update={"high_c": (33.0,), "wind_m_s": 4.0})
    panel_light(ROME, warmer, fixed(31.0))
    assert sun._plane_light.cache_info().misses == before


def test_arrays_are_read_only():
    for values in (
        *vars(sun_position(ROME, SPRING)).values(),
        *vars(sky(ROME, SPRING)).values(),
        *vars(panel_light(ROME, SPRING, FLAT)).values(),
    ):
        assert values.shape == (1440,)
        assert not values.flags.writeable


def test_coarser_steps_keep_the_energy():
    fine = panel_light(ROME, SPRING, fixed(60.0)).irradiance_w_m2.mean()
    coarse = panel_light(ROME, SPRING, fixed(60.0), 10.0).irradiance_w_m2.mean()
    assert coarse == pytest.approx(fine, rel=2e-3)
