"""How sure: draws within bounds, bands that hold what they say, odds, and what to measure next."""

from __future__ import annotations

from datetime import date

import numpy as np
import pandas as pd
import pytest
from numpy.random import default_rng

from model.editing.field_facts import field_at
from model.editing.paths import value_at, with_value
from model.engine.batch import run_batch
from model.engine.comparison import shared_extras
from model.engine.fleet import fleet_of
from model.odds.monte_carlo import (
    Interval,
    Odds,
    Spread,
    StationSpread,
    correlation,
    interval,
    ranks,
    search_spread,
    spread,
    station_spread,
)
from model.odds.sampling import draw
from model.odds.spread_fleet import drawn_fleet
from model.scenario.declare import Source
from model.sky.trip import planned
from tests.laws.sample_kits import one_box, question, small_kit
from tests.planned import run_station, station_inputs

LAPTOP = {
    "power_w": 12.0, "sleep_w": 1.0, "converter_efficiency": 0.9, "converter_idle_a": 0.03,
    "own_battery_wh": 20.0,
}  # fmt: skip
EXTRAS = [
    {"name": "lamp", "current_a": 0.2, "hours": [["19:00", "23:30"]], "shared_by_all": True},
    {"name": "router", "power_w": 3.0},
]


def dark_question(**changes):
    small, large = small_kit(), one_box()
    del small["panel"], large["panel"]
    return question(small, large, **({"days": 2} | changes))


def member(scenario, index, factors, at):
    """The station with one set of drawn numbers, changed one by one."""
    station, shared = scenario.stations[index], shared_extras(scenario, index)
    changed = with_value(scenario, "title", "drawn")
    for path, factor in factors.items():
        if path.startswith("shared."):
            _, which, field = path.split(".")
            extra = shared[int(which)]
            new = extra.model_copy(update={field: getattr(extra, field) * factor[at]})
            shared = (*shared[: int(which)], new, *shared[int(which) + 1 :])
            continue
        where = f"stations.{index}.{path}"
        value = value_at(changed, where)
        if isinstance(value, tuple):
            new = tuple((watts, amperes * factor[at]) for watts, amperes in value)
        else:
            new = value * factor[at]
        changed = with_value(changed, where, new)
    assert changed.stations[index] != station
    return changed.stations[index], shared


@pytest.mark.parametrize(
    "change",
    [
        {},
        {"laptop": LAPTOP | {"runs": "data"}},
        {"laptop": LAPTOP | {"charge_w": 15.0}},
        {"laptop": LAPTOP | {"runs": "always", "own_battery_wh": 35.0}},
        {"extras": EXTRAS},
        {"controller": {"kind": "pwm", "own_a": 0.02}},
        {"amplifier": small_kit()["amplifier"] | {"out_of_session": "standby"}},
        {"battery": small_kit()["battery"] | {"chemistry": "AGM"}},
    ],
)
def test_a_drawn_fleet_is_the_drawn_kits_one_by_one(change):
    scenario = question(small_kit() | change, one_box() | {"extras": EXTRAS[:1]}, days=2)
    shared = shared_extras(scenario, 0)
    site, trip, plan, station = (
        scenario.site,
        planned(scenario),
        scenario.plan,
        scenario.stations[0],
    )
    factors = {p: d.factor for p, d in draw(station, shared, 4, default_rng(3)).items()}
    kits = [member(scenario, 0, factors, at) for at in range(4)]
    single = fleet_of([station_inputs(site, trip, plan, *kit, 10.0) for kit in kits])
    drawn = drawn_fleet(site, trip, plan, station, shared, factors, 10.0)
    for name, rows in single.course.items():
        both = np.broadcast_arrays(_wide(rows), _wide(drawn.course[name]))
        np.testing.assert_allclose(*both, rtol=1e-9, atol=1e-12, err_msg=name)
    for name, limit in single.limits.items():
        np.testing.assert_allclose(limit, drawn.limits[name], rtol=1e-9, err_msg=name)
    one, other = run_batch(single), run_batch(drawn)
    np.testing.assert_allclose(one.end_fraction, other.end_fraction, rtol=1e-8)
    np.testing.assert_array_equal(one.first_end_h, other.first_end_h)


def _wide(rows):
    return rows[:, None] if rows.ndim == 1 else rows


def test_draws_stay_within_the_bounds_of_their_fields():
    kit = small_kit()
    kit["battery"] |= {"charge_efficiency": 0.999, "tested_fraction": 1.19}
    station = question(kit).stations[0]
    drawn = draw(station, (), 5000, default_rng(1))
    assert len(drawn) > 20
    for path, one in drawn.items():
        facts = field_at(f"stations.0.{path}")
        if facts.kind == "number":
            value = station
            for name in path.split("."):
                value = value[int(name)] if name.isdigit() else getattr(value, name)
            assert (one.factor * value <= (np.inf if facts.high is None else facts.high)).all()
            assert (one.factor * value >= (-np.inf if facts.low is None else facts.low)).all()


def test_a_draws_95_percent_band_is_the_spread_and_a_measured_number_has_less():
    kit = small_kit()
    kit["radio"]["sources"] = {
        "receive_a": {"from": "measured", "on": date(2027, 3, 1)},
        "off_a": {"from": "guess", "spread": 0.3},
    }
    drawn = draw(question(kit).stations[0], (), 40_000, default_rng(5))
    usual = field_at("stations.0.radio.receive_a").spread
    assert drawn["radio.receive_a"].number.spread < usual / 2
    factor = drawn["radio.off_a"].factor
    assert np.quantile(factor, 0.975) == pytest.approx(1.3, rel=0.02)
    assert np.quantile(factor, 0.025) == pytest.approx(1 / 1.3, rel=0.02)
    assert np.median(factor) == pytest.approx(1.0, abs=0.01)


def test_the_same_seed_gives_the_same_bands():
    scenario = question(days=1)
    one, other, third = (
        station_spread(scenario, 0, default_rng(seed), members=50) for seed in (4, 4, 5)
    )
    np.testing.assert_array_equal(one.low_fraction, other.low_fraction)
    assert not np.array_equal(one.low_fraction, third.low_fraction)


def test_how_far_it_has_come_is_told_and_changes_nothing():
    scenario, told = dark_question(days=1), []
    search = search_spread(scenario, default_rng(4), members=50)
    while True:
        try:
            told.append(next(search))
        except StopIteration as end:
            found = end.value
            break
    assert told == sorted(told)
    assert told[0] == 0.0
    assert 0.9 < told[-1] <= 1.0
    # Several times in each station, so that nobody who stops it waits long.
    assert len(told) > 2 * 6
    silent = spread(scenario, default_rng(4), members=50)
    for one, other in zip(found.stations, silent.stations, strict=True):
        np.testing.assert_array_equal(one.low_fraction, other.low_fraction)


def test_without_spreads_the_band_is_the_run():
    scenario = dark_question()
    for path, part in (
        ("radio", "radio"), ("battery", "battery"), ("amplifier", "amplifier"), ("tuner", "tuner"),
        ("controller", "controller"), *((f"leads.{n}", f"leads.{n}") for n in range(4)),
    ):  # fmt: skip
        held = value_at(scenario, f"stations.0.{part}")
        exact = {
            name: Source.model_validate({"from": "measured", "spread": 0.0})
            for name in type(held).model_fields
            if name not in ("name", "sources", "feeds")
        } | ({"for": Source.model_validate({"from": "guess"})} if path.startswith("leads") else {})
        scenario = with_value(scenario, f"stations.0.{path}.sources", exact)
    scenario = with_value(scenario, "stations.0.start_fraction", 1.0)
    found = station_spread(scenario, 0, default_rng(2), members=30)
    run = run_station(
        scenario.site, scenario.day, scenario.plan, scenario.stations[0], (), step_min=10.0
    )
    # What is left is the charge at the start: full, so draws lie at or below it.
    assert found.high_fraction[0] <= 1.0
    assert np.abs(found.high_fraction - run.fraction).max() < 0.02


def test_eight_in_ten_truths_lie_within_the_band_at_each_moment():
    """Twenty bands, each told from draws of its own, against two hundred truths each."""
    scenario = dark_question(days=1)
    within = []
    for trial in range(20):
        told = station_spread(scenario, 0, default_rng((1, trial)), members=400)
        truth = truths(scenario, 200, default_rng((2, trial)))
        inside = (told.low_fraction[:, None] <= truth) & (truth <= told.high_fraction[:, None])
        within.append(inside.mean(axis=1))
    pointwise = np.mean(within, axis=0)
    assert pointwise.min() >= 0.77
    assert pointwise.max() <= 0.83


def truths(scenario, count, chance):
    """Charge of drawn kits at the step boundaries, shape (steps + 1, count)."""
    station = scenario.stations[0]
    factors = {path: one.factor for path, one in draw(station, (), count, chance).items()}
    fleet = drawn_fleet(scenario.site, planned(scenario), scenario.plan, station, (), factors, 10.0)
    seen = []
    outcomes = run_batch(fleet, lambda moment: seen.append(moment.stored_ah))
    return np.vstack([*(ah / fleet.limits["full_ah"] for ah in seen), outcomes.end_fraction])


def test_some_hundreds_of_draws_agree_with_twenty_thousand():
    scenario = dark_question(days=2)
    few = station_spread(scenario, 1, default_rng(21), members=400)
    many = station_spread(scenario, 1, default_rng(22), members=20_000)
    for name in ("low_fraction", "middle_fraction", "high_fraction"):
        assert np.abs(getattr(few, name) - getattr(many, name)).max() < 0.03, name
    for clock, seen in few.clocks.items():
        expected = many.clocks[clock]
        assert seen.low_h == pytest.approx(expected.low_h, abs=1.5)
        assert seen.middle_h == pytest.approx(expected.middle_h, abs=1.0)
        assert abs(seen.never_share - expected.never_share) < 0.07
    assert few.effects[0].path == many.effects[0].path


def test_ends_that_never_come_are_counted_and_not_guessed():
    ends = np.array([5.0, 6.0, 7.0, np.inf, np.inf, np.inf, np.inf, np.inf, np.inf, np.inf])
    found = interval(ends)
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


def test_equal_kits_are_too_close_to_call_and_unequal_ones_are_not():
    kit = one_box()
    del kit["panel"]
    alike = spread(question(kit, kit, days=3), default_rng(1)).odds(0, 1)
    assert alike.first_share == pytest.approx(alike.second_share, abs=0.12)
    assert alike.too_close_to_call
    hungry = one_box()
    del hungry["panel"]
    hungry["radio"]["receive_a"] = 2.0
    apart = spread(question(kit, hungry, days=3), default_rng(1)).odds(0, 1)
    assert apart.first_share > 0.95
    assert not apart.too_close_to_call
    assert apart.first_share + apart.second_share + apart.tie_share == pytest.approx(1.0)


def test_kits_that_both_last_tie_and_are_not_too_close_to_call():
    both = spread(question(days=1), default_rng(1)).odds(0, 1)
    assert both.tie_share > 0.9
    assert not both.too_close_to_call


def test_the_number_that_decides_is_named_until_it_is_measured():
    scenario = dark_question(days=2)
    told = spread(scenario, default_rng(6))
    assert told.measure_next().path == "stations.0.radio.receive_a"
    assert told.advice() == "Measure next: receive current, A."
    known = with_value(
        scenario, "stations.0.radio.sources", {"receive_a": {"from": "measured", "spread": 0.02}}
    )
    after = spread(known, default_rng(6))
    assert after.measure_next().path == "stations.0.battery.tested_fraction"
    assert after.advice() == "Measure next: tested capacity of its battery, A."


def test_more_receive_current_ends_sooner_and_more_capacity_later():
    effects = station_spread(dark_question(days=2), 1, default_rng(6)).effects
    by_path = {effect.path: effect.rank_share for effect in effects}
    assert by_path["stations.1.radio.receive_a"] < -0.3
    assert by_path["stations.1.battery.tested_fraction"] > 0.3
    assert all(effect.on == "first_end" for effect in effects)


def test_where_no_draw_ends_the_lowest_charge_is_what_is_moved():
    effects = station_spread(question(days=1), 0, default_rng(6)).effects
    assert effects
    assert {effect.on for effect in effects} == {"lowest_charge"}


@pytest.mark.parametrize(
    ("low_h", "high_h", "never", "words"),
    [
        (27.0, 29.5, 0.0, "receive ends Wed 03:00 to 05:30 in about 80 of 100 trial trips"),
        (22.0, 29.5, 0.0, "receive ends Tue 22:00 to Wed 05:30 in about 80 of 100 trial trips"),
        (
            27.0,
            np.inf,
            0.35,
            "receive until Wed 03:00 or later; lasts to the end in about 35 of 100 trial trips",
        ),
        (np.inf, np.inf, 0.97, "receive lasts to the end in about 97 of 100 trial trips"),
    ],
)
def test_an_interval_is_said_in_local_time(low_h, high_h, never, words):
    empty = np.zeros(0)
    clocks = {"receive": Interval(low_h, low_h, high_h, never)}
    station = StationSpread(empty, empty, empty, clocks, empty, ())
    assert Spread(question(days=2), empty, (station, None)).until_words(0, "receive") == words
    assert Spread(question(days=2), empty, (station, None)).until_words(1, "receive") == ""


@pytest.mark.parametrize(
    ("shares", "words"),
    [
        ((0.9, 0.1, 0.0), "A outlasts B in about 90 of 100 trial trips."),
        ((0.05, 0.95, 0.0), "B outlasts A in about 95 of 100 trial trips."),
        ((0.05, 0.0, 0.95), "Neither A nor B outlasts the other in about 95 of 100 trial trips."),
        (
            (0.6, 0.4, 0.0),
            "Too close to call: A lasts longer in about 60 of 100 trial trips, B in about 40 of"
            " 100.",
        ),
    ],
)
def test_odds_are_said_in_words(shares, words):
    assert Odds(*shares).words("A", "B") == words
