"""Odds: trips that are the runs they stand for, truths known another way, and honest bounds."""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from math import erf, log, log1p, sqrt

import numpy as np
import pandas as pd
import pytest
from numpy.random import default_rng

import model
from model.editing.paths import with_value
from model.engine.batch import run_batch
from model.odds.drawn_weather import INDEX_NODES, drawn_weather
from model.odds.drivers import correlation, ranks
from model.odds.odds import ends_of, odds, search_odds
from model.odds.sampling import BAND_DEVIATIONS
from model.odds.shares import share_of
from model.odds.spread_fleet import PLAN_KEPT, drawn_fleet
from model.odds.trips import DrawnSkies, Varied, draw_skies, draw_trips
from model.scenario.declare import Source
from model.scenario.scenario import Block
from model.sky.climate_days import DaySkies
from model.sky.cloud_words import WORD_CLASSES
from model.sky.irradiance import panel_light
from model.sky.trip import Trip, Weather, planned
from model.station.carried_mass import shared_extras
from model.support.progress import finish
from tests.laws.sample_kits import one_box, question, small_kit
from tests.laws.test_batch_season import ALPINE
from tests.planned import run_station

NOTHING = Varied(sky=False, plan=False, numbers=False)


def dark_question(**changes):
    small, large = small_kit(), one_box()
    del small["panel"], large["panel"]
    return question(small, large, **({"days": 2} | changes))


def test_where_nothing_differs_every_trip_is_the_run():
    scenario = question(days=2)
    found = finish(search_odds(scenario, 3, varied=NOTHING))
    for index, station in enumerate(scenario.stations):
        run = run_station(
            scenario.site, planned(scenario), scenario.plan, station,
            shared_extras(scenario, index), step_min=10.0,
        )  # fmt: skip
        one = found.stations[index]
        for band in (one.low_fraction, one.middle_fraction, one.high_fraction):
            np.testing.assert_allclose(band, run.fraction, atol=1e-9)
        assert one.receive.value == float(run.clocks.receive.until is None)


def test_a_drawn_sky_is_the_run_under_that_sky():
    scenario = question(days=2)
    chance, trips = default_rng(3), 5
    dates = 3
    low = chance.uniform(-12.0, 5.0, (trips, dates))
    skies = DaySkies(chance.choice(INDEX_NODES[1:], (trips, dates)), low, low + 9.0)
    weather = drawn_weather(scenario.site, planned(scenario), skies, 10.0)
    station = scenario.stations[0]
    fleet = drawn_fleet(scenario.site, planned(scenario), scenario.plan, station, (), {}, weather)
    found = run_batch(fleet)
    for at in range(trips):
        day = scenario.day
        own = Weather(*(tuple(of[at].tolist()) for of in vars(skies).values()), day.wind_m_s)
        trip = Trip(day.date, day.start_hour, day.days, own)
        run = run_station(scenario.site, trip, scenario.plan, station, (), step_min=10.0)
        assert found.end_fraction[at] == pytest.approx(run.fraction[-1], abs=1e-7)
        assert found.lowest_fraction[at] == pytest.approx(run.lowest.value, abs=1e-7)


def test_light_between_the_nodes_is_that_of_the_sky():
    scenario = question(days=1)
    panel = scenario.stations[0].panel
    index = np.linspace(0.05, 1.22, 40)
    cold = np.full((40, 2), 5.0)
    skies = DaySkies(np.stack([index, index], axis=1), cold, cold + 8.0)
    light = drawn_weather(scenario.site, planned(scenario), skies, 10.0).light(panel)
    clear = light.irradiance_w_m2[:, np.argmin(np.abs(index - 1.0))].sum()
    for at, value in enumerate(index.tolist()):
        trip = replace(planned(scenario), weather=Weather((value,), (5.0,), (13.0,), 1.0))
        exact = panel_light(scenario.site, trip, panel, 10.0).irradiance_w_m2
        assert abs(light.irradiance_w_m2[:, at].sum() - exact.sum()) < 0.01 * clear


@pytest.mark.parametrize("kept", [0.6, 1.0, 1.5])
def test_a_plan_kept_so_far_is_the_plan_with_other_shares(kept):
    scenario = question(days=1)
    plan = tuple(
        block.model_copy(update={"transmit_share": kept * block.transmit_share})
        for block in scenario.plan
    )
    for station in scenario.stations:
        weather = drawn_weather(
            scenario.site, planned(scenario),
            draw_skies(scenario, 2, default_rng(1), drawn=False).days, 10.0,
        )  # fmt: skip
        given = {PLAN_KEPT: np.full(2, kept)}
        fleet = drawn_fleet(
            scenario.site, planned(scenario), scenario.plan, station, (), given, weather
        )
        run = run_station(scenario.site, planned(scenario), plan, station, (), step_min=10.0)
        assert run_batch(fleet).end_fraction == pytest.approx(run.fraction[-1], abs=1e-9)


def test_without_a_panel_the_odds_are_those_of_the_parts_in_closed_form():
    """One load on one battery: it lasts where drawn charge over drawn current is enough.

    All three are lognormal, so the odds are those of one normal score.
    """
    exact = {"from": "measured", "spread": 0.0}
    kit = {
        "name": "one load", "reserve_fraction": 0.0, "start_fraction": 0.5,
        "radio": {
            "receive_a": 1.0, "off_a": 0.0, "key_down": [[5.0, 2.0], [10.0, 3.0]],
            "sources": {"receive_a": {"from": "guess", "spread": 0.2}},
        },
        "battery": {
            "chemistry": "LFP", "capacity_ah": 51.0, "tested_fraction": 1.0, "kept": "warm",
            "warm_c": 25.0, "resistance_ohm": 0.0,
            "sources": {
                "capacity_ah": {"from": "guess", "spread": 0.15}, "tested_fraction": exact,
            },
        },
    }  # fmt: skip
    watch = Block.model_validate({"start": "00:00", "end": "24:00", "activity": "watch"})
    scenario = question(kit, days=1).model_copy(update={"plan": (watch,)})
    drawn = draw_trips(scenario, 2, default_rng(1)).numbers[0]
    of_start = drawn["start_fraction"].number.spread
    spreads = (0.2, 0.15, of_start)
    deviation = sqrt(sum((log1p(spread) / BAND_DEVIATIONS) ** 2 for spread in spreads))
    expected = 0.5 * (1.0 + erf(log(25.5 / 24.0) / deviation / sqrt(2.0)))
    found = odds(scenario, 20_000, seed=5).stations[0]
    # Three deviations of so many trips.
    assert found.receive.value == pytest.approx(expected, abs=0.011)
    assert found.full_power is None


def test_all_stations_of_a_trip_have_the_same_sky_and_plan():
    kit = one_box()
    found = odds(question(kit, kit, days=2), 200, seed=2)
    one, other = found.stations
    np.testing.assert_array_equal(one.first_end_h, other.first_end_h)
    assert found.outlasts(0, 1).tie_share == 1.0


def test_the_same_seed_gives_the_same_odds():
    scenario = question(days=1)
    one, other, third = (odds(scenario, 60, seed=seed).stations[0] for seed in (4, 4, 5))
    np.testing.assert_array_equal(one.low_fraction, other.low_fraction)
    assert not np.array_equal(one.low_fraction, third.low_fraction)
    assert model.odds(scenario, 60, 4).stations[0].receive == one.receive


def test_how_far_it_has_come_is_told():
    told, search = [], search_odds(question(days=1), 50)
    while True:
        try:
            told.append(next(search))
        except StopIteration:
            break
    assert told == sorted(told)
    assert told[0] == 0.0
    assert 0.9 < told[-1] <= 1.0


def test_a_duller_sky_and_a_smaller_panel_lower_the_odds():
    scenario = with_value(question(one_box(), days=3), "stations.0.battery.capacity_ah", 30.0)
    bright = with_value(scenario, "day.sky", "clear")
    dull = with_value(scenario, "day.sky", "rain")
    few = with_value(bright, "stations.0.panel.rated_w", 25.0)
    shares = [odds(each, 300).stations[0].receive.value for each in (bright, dull, few)]
    assert shares[0] > shares[1]
    assert shares[0] > shares[2]


def test_the_basis_is_years_before_climate_before_forecast():
    scenario = question(days=2)
    assert odds(scenario, 20).basis == "forecast"
    with pytest.raises(ValueError, match="no climate"):
        odds(scenario, 20, basis="climate")
    in_climate = with_value(scenario, "climate", ALPINE)
    assert odds(in_climate, 20).basis == "climate"
    assert odds(in_climate, 20, basis="forecast").basis == "forecast"
    year = {
        "start": date(2026, 1, 1), "clearness": [0.5] * 365, "low_c": [1.0] * 365,
        "high_c": [9.0] * 365,
    }  # fmt: skip
    in_years = with_value(scenario, "climate", ALPINE | {"years": [year]})
    found = odds(in_years, 62)
    assert (found.basis, found.years) == ("years", 1)
    skies = draw_skies(in_years, 62, default_rng(1))
    # Every start as often as the others.
    assert np.bincount(skies.start).tolist() == [2] * 31
    assert (skies.days.low_c == 1.0).all()


def test_bounds_are_not_those_of_the_number_of_trips():
    chance = default_rng(1)
    holds = chance.random(100_000) < 0.5
    days = DaySkies(*(np.zeros((100_000, 2)) for _ in range(3)))
    of_climate = share_of(holds, DrawnSkies("climate", days), 2)
    assert of_climate.high - of_climate.low > 0.3
    place = chance.standard_normal(100_000)
    of_words = share_of(place > 0.0, DrawnSkies("forecast", days, place_deviation_ratio=place), 2)
    assert (of_words.low, of_words.high) == (0.0, 1.0)


@pytest.mark.parametrize("word", ["mostly cloudy", "overcast"])
def test_a_climate_that_scales_the_words_leaves_of_each_what_was_measured(word):
    plain = with_value(question(days=1), "day.sky", (word,))
    months = {"low_c": [0.0] * 12, "high_c": [9.0] * 12, "clearness": [0.4] * 12}

    def deviation(scenario):
        skies = draw_skies(scenario, 20_000, default_rng(1), "forecast")
        # How much of a day goes with the place alone.
        return np.polyfit(skies.place_deviation_ratio, skies.days.index[:, 0], 1)[0]

    typed = with_value(plain, "climate", months)
    scaled = with_value(plain, "climate", months | {"loss_scale": 0.9})
    index = with_value(scaled, "day.sky", (0.69,))
    whole = WORD_CLASSES[word].sd_between
    assert deviation(plain) == pytest.approx(whole, abs=0.005)
    assert deviation(typed) == pytest.approx(whole, abs=0.005)
    assert deviation(scaled) == pytest.approx(WORD_CLASSES[word].sd_scaled, abs=0.005)
    # What is typed is not scaled.
    assert deviation(index) == pytest.approx(WORD_CLASSES["mostly cloudy"].sd_between, abs=0.005)


def test_ends_that_never_come_are_counted_and_not_guessed():
    ends = np.array([5.0, 6.0, 7.0, *[np.inf] * 7])
    found = ends_of(ends)
    # One in eleven further ends lies below the least of ten.
    assert (found.low_h, found.middle_h, found.high_h) == (5.0, np.inf, np.inf)
    assert found.never_share == 0.7


def test_rank_correlation_is_that_of_a_reference_library():
    chance = default_rng(8)
    one = np.round(chance.normal(size=200), 1)
    other = np.where(chance.random(200) < 0.3, 9.0, one + chance.normal(size=200))
    expected = pd.DataFrame({"a": one, "b": other}).corr(method="spearman").iloc[0, 1]
    assert correlation(ranks(one), ranks(other)) == pytest.approx(expected, rel=1e-12)
    assert correlation(ranks(one), ranks(np.full(200, np.inf))) == 0.0


def test_what_drives_a_dark_kit_is_its_draw_and_its_capacity_and_no_sky():
    found = odds(dark_question(), 600, seed=6).stations[1].drivers
    by_path = {one.path: one.rank_share for one in found}
    assert by_path["stations.1.radio.receive_a"] < -0.3
    assert by_path["stations.1.battery.tested_fraction"] > 0.3
    assert "sky" not in by_path


def test_where_the_panel_decides_the_sky_drives():
    scenario = with_value(question(one_box(), days=3), "day.sky", ("mostly cloudy",))
    scenario = with_value(scenario, "stations.0.panel.rated_w", 150.0)
    scenario = with_value(scenario, "stations.0.battery.capacity_ah", 30.0)
    found = odds(scenario, 600, seed=6).stations[0].drivers
    assert next(one.rank_share for one in found if one.path == "sky") > 0.3


def test_eight_in_ten_further_trips_lie_within_the_band():
    scenario = question(days=1)
    within = []
    for trial in range(6):
        told = odds(scenario, 400, seed=trial).stations[0]
        truth = odds(scenario, 400, seed=100 + trial)
        middle = truth.stations[0]
        # The middle of other trips lies within, and both bands agree.
        assert np.abs(told.low_fraction - middle.low_fraction).max() < 0.05
        within.append(
            np.mean(
                (told.low_fraction <= middle.middle_fraction)
                & (middle.middle_fraction <= told.high_fraction)
            )
        )
    assert min(within) == 1.0


def test_a_measured_number_has_less_error():
    kit = small_kit()
    scenario = question(kit)
    exact = Source.model_validate({"from": "measured", "spread": 0.0})
    known = with_value(scenario, "stations.0.radio.sources", {"receive_a": exact})
    assert "radio.receive_a" not in draw_trips(known, 2, default_rng(1)).numbers[0]
