"""What follows from odds: sizes, what raises and what narrows, against truths known besides."""

from __future__ import annotations

import json
from dataclasses import replace
from datetime import date
from math import erf, log, log1p, sqrt

import numpy as np
import pytest
from numpy.random import default_rng

from app.__main__ import main
from model.advice.actions import Action
from model.editing.paths import with_value
from model.editing.resize import scaled_station
from model.engine.comparison import why_withheld
from model.files.scenario_file import write_scenario
from model.odds import raised_odds
from model.odds.answer_sentences import (
    narrowing_words,
    no_raise_words,
    raise_words,
    rounded_up,
    size_words,
    telling_raises,
    years_words,
)
from model.odds.answers import answers, search_answers
from model.odds.narrowed_odds import Narrowing, more_years, search_narrowing
from model.odds.odds_sizes import (
    BATTERIES_BY,
    search_odds_frontier,
    search_odds_size,
    smallest_for,
)
from model.odds.raised_odds import search_raises
from model.odds.sampling import BAND_DEVIATIONS
from model.odds.shares import Share
from model.odds.station_trips import StationTrips, first_trips
from model.odds.trip_runs import search_trip_runs
from model.odds.trips import Varied, draw_trips
from model.scenario.scenario import Block
from model.sizing.smallest import smallest_battery
from model.support.intervals import wilson_interval
from model.support.progress import finish
from tests.laws.sample_kits import one_box, question, small_kit
from tests.laws.test_batch_season import ALPINE

NOTHING = Varied(sky=False, plan=False, numbers=False)


def in_season(*kits, **day):
    return with_value(question(*kits, **({"days": 2} | day)), "climate", ALPINE)


def counted(drawn, index, station):
    """The share of trips that meet the plan with a station put in the place of another's."""
    scenario = drawn.scenario
    stations = (*scenario.stations[:index], station, *scenario.stations[index + 1 :])
    changed = replace(drawn, scenario=scenario.model_copy(update={"stations": stations}))
    runs = finish(search_trip_runs(changed, with_charge=False))[index]
    return float(runs.holds.mean())


@pytest.fixture(scope="module")
def drawn():
    return draw_trips(in_season(small_kit(), one_box()), 60, default_rng(7))


@pytest.fixture(scope="module")
def in_winter():
    kits = in_season(small_kit(), one_box(), date=date(2027, 12, 10))
    return draw_trips(kits, 60, default_rng(7))


@pytest.fixture(scope="module")
def frontier(drawn):
    return finish(search_odds_frontier(StationTrips(drawn, 0), 0.8))


def test_under_a_sky_without_spread_the_battery_is_the_day_s_own_smallest():
    scenario = question(small_kit() | {"start_fraction": 1.0}, days=2)
    drawn = draw_trips(scenario, 3, default_rng(1), varied=NOTHING)
    found = finish(search_odds_size(StationTrips(drawn, 0), "battery", 0.9))
    # The day's own is proved at one-minute steps, this at ten: they differ by a step's charge.
    assert found.value == pytest.approx(smallest_battery(scenario, 0).size_ah, rel=0.01)
    assert found.odds.value == 1.0


@pytest.mark.parametrize("part", ["battery", "panel"])
def test_a_size_is_the_smallest_that_a_loop_over_sizes_finds(drawn, part):
    index, station = 1, drawn.scenario.stations[1]
    found = finish(search_odds_size(StationTrips(drawn, index), part, 0.6))
    assert found.value is not None
    by = found.value / found.now

    def share(times):
        return counted(drawn, index, scaled_station(station, **{f"{part}_by": by * times}))

    assert share(1.0) == pytest.approx(found.odds.value)
    assert share(1.0) >= 0.6 > share(0.98)
    assert found.low <= found.value
    assert found.high is None or found.high >= found.value
    assert counted(drawn, index, station) == pytest.approx(found.odds_now.value)
    kg = (station.battery if part == "battery" else station.panel).mass_kg
    assert found.part_kg == pytest.approx(kg * by)


def test_a_point_of_the_frontier_is_what_a_loop_over_panels_finds(drawn, frontier):
    station, at = drawn.scenario.stations[0], int(np.flatnonzero(frontier.rated_w > 0)[0])
    battery_by = float(BATTERIES_BY[at])
    assert frontier.capacity_ah[at] == pytest.approx(20.0 * battery_by)
    # Upwards in steps of 3 %, until enough of the trips meet the plan.
    panel_by = 0.05
    while (
        counted(drawn, 0, scaled_station(station, battery_by=battery_by, panel_by=panel_by)) < 0.8
    ):
        panel_by *= 1.03
    assert frontier.rated_w[at] == pytest.approx(60.0 * panel_by, rel=0.05)
    kg = 2.6 * battery_by + frontier.rated_w[at] / 60.0 * 2.0
    assert frontier.station_kg[at] == pytest.approx(1.2 + 1.5 + kg)


def test_a_larger_battery_never_asks_for_a_larger_panel(frontier):
    enough = ~np.isnan(frontier.rated_w)
    assert enough.sum() >= 4
    # Once one is enough every larger one is, and none asks for more than the last by rounding.
    assert (np.diff(enough.astype(int)) >= 0).all()
    watts = frontier.rated_w[enough]
    assert (watts[1:] <= watts[:-1] * 1.03 + 1e-9).all()
    assert (frontier.met_share[enough] >= 0.8).all()


def test_the_size_for_so_many_trips_is_a_place_among_them():
    needed = np.array([3.0, 1.0, np.inf, 2.0, 4.0, 0.0, 5.0, 6.0, 7.0, 8.0])
    assert smallest_for(needed, 0.1) == 0.0
    assert smallest_for(needed, 0.5) == 4.0
    assert smallest_for(needed, 0.9) == 8.0
    assert smallest_for(needed, 0.91) is None


def test_a_measure_raises_odds_to_those_of_the_changed_scenario_on_the_same_trips(in_winter):
    index, station = 1, in_winter.scenario.stations[1]
    found = {one.key: one for one in finish(search_raises(StationTrips(in_winter, index), "plan"))}
    two = station.model_copy(update={"battery": station.battery.model_copy(update={"count": 2})})
    assert found["second_battery"].odds.value == pytest.approx(counted(in_winter, index, two))
    assert found["second_battery"].more_kg == pytest.approx(6.0)
    assert found["second_battery"].price == "6\N{NO-BREAK SPACE}kg more"
    shares = [one.odds.value for one in found.values()]
    assert shares == sorted(shares, reverse=True)
    assert min(shares) >= counted(in_winter, index, station) + 0.01


def test_nothing_dangerous_is_told_to_raise_odds(in_winter, monkeypatch):
    scenario = in_winter.scenario
    tricks = {
        "reserve": with_value(scenario, "stations.1.reserve_fraction", 0.0),
        "cutoff": with_value(scenario, "stations.1.battery.cutoff_v", 6.0),
        "second": with_value(scenario, "stations.1.battery.count", 2),
    }
    made = [Action(key, "habit", key, "", changed) for key, changed in tricks.items()]
    monkeypatch.setattr(raised_odds, "all_actions", lambda _scenario, _index: made)
    found = finish(search_raises(StationTrips(in_winter, 1), "plan"))
    assert [one.key for one in found] == ["second"]


def test_a_number_that_drives_nothing_narrows_nothing():
    kit = small_kit()
    del kit["panel"]
    drawn = draw_trips(question(kit, days=2), 40, default_rng(2))
    assert "controller.efficiency" in drawn.numbers[0]
    found = finish(search_narrowing(StationTrips(drawn, 0), "controller.efficiency", "receive"))
    assert found.low == found.high
    assert found.narrower_share == 0.0
    assert "hardly closer together" in narrowing_words(found)


def test_widths_that_are_said_alike_are_not_said_to_differ():
    path = "stations.0.radio.receive_a"
    for widths in ({"width_h": (2.04, 1.9), "width_fraction": None},
                   {"width_h": None, "width_fraction": (0.0745, 0.064)}):  # fmt: skip
        said = narrowing_words(Narrowing(path, "guess", 0.5, 0.6, **widths))
        assert "instead of" in said
    for widths in ({"width_h": (1.14, 1.06), "width_fraction": None},
                   {"width_h": None, "width_fraction": (0.0745, 0.0655)}):  # fmt: skip
        said = narrowing_words(Narrowing(path, "guess", 0.5, 0.6, **widths))
        assert "hardly closer together" in said


def one_load(receive_spread=0.2):
    exact = {"from": "measured", "spread": 0.0}
    return {
        "name": "one load", "reserve_fraction": 0.0, "start_fraction": 0.5,
        "radio": {
            "receive_a": 1.0, "off_a": 0.0, "key_down": [[5.0, 2.0], [10.0, 3.0]],
            "sources": {"receive_a": {"from": "guess", "spread": receive_spread}},
        },
        "battery": {
            "chemistry": "LFP", "capacity_ah": 48.0, "tested_fraction": 1.0, "kept": "warm",
            "warm_c": 25.0, "resistance_ohm": 0.0,
            "sources": {
                "capacity_ah": {"from": "guess", "spread": 0.15}, "tested_fraction": exact,
            },
        },
    }  # fmt: skip


def test_what_a_number_does_to_the_odds_is_that_of_a_closed_form():
    """One load on one battery: drawn charge over drawn current, all lognormal.

    With the current held at the tenth and at nine tenths of what it may be, the odds are those of
    the normal score of charge alone, moved by 1.2816 deviations of the current.
    """
    watch = Block.model_validate({"start": "00:00", "end": "24:00", "activity": "watch"})
    scenario = question(one_load(), days=1).model_copy(update={"plan": (watch,)})
    drawn = draw_trips(scenario, 6000, default_rng(4))
    of_start = drawn.numbers[0]["start_fraction"].number.spread
    current = log1p(0.2) / BAND_DEVIATIONS
    charge = sqrt(sum((log1p(spread) / BAND_DEVIATIONS) ** 2 for spread in (0.15, of_start)))
    expected = [
        0.5 * (1.0 + erf((log(24.0 / 24.0) + side * 1.2816 * current) / charge / sqrt(2.0)))
        for side in (-1.0, 1.0)
    ]
    found = finish(search_narrowing(StationTrips(drawn, 0), "radio.receive_a", "receive"))
    assert (found.low, found.high) == pytest.approx(tuple(expected), abs=0.025)
    # About half end: fewer or more by chance, so whichever is compared comes closer.
    assert 0.05 < found.narrower_share < 1.0


def test_the_first_trips_are_those_that_begin_the_whole():
    drawn = draw_trips(in_season(small_kit()), 30, default_rng(5))
    few = first_trips(drawn, 12)
    whole = finish(search_trip_runs(drawn))[0]
    part = finish(search_trip_runs(few))[0]
    np.testing.assert_allclose(part.lowest_fraction, whole.lowest_fraction[:12], atol=1e-12)
    assert first_trips(drawn, 50) is drawn


def test_more_years_narrow_by_the_interval_of_so_many_trips(drawn):
    share = Share(0.8, 0.55, 0.95)
    more = more_years(StationTrips(drawn, 0), share)
    # Trips of two dates: 31 / 2 = 15.5 apart from each other a year; 25 of them need 2 years.
    assert more.years == 2
    low, high = wilson_interval(0.8, 31.0)
    assert more.width_then_share == pytest.approx(high - low)
    planned = draw_trips(question(small_kit(), days=2), 10, default_rng(1))
    assert more_years(StationTrips(planned, 0), share) is None


def years_of(count):
    """So many years, each a little duller than the one before."""
    return [
        {
            "start": date(2001 + at, 1, 1), "clearness": [0.6 - 0.1 * at] * 365,
            "low_c": [1.0] * 365, "high_c": [9.0] * 365,
        }
        for at in range(count)
    ]  # fmt: skip


@pytest.mark.parametrize("years", [1, 3])
def test_one_more_year_narrows_as_years_do(years):
    scenario = with_value(
        question(small_kit(), days=2), "climate", ALPINE | {"years": years_of(years)}
    )
    trips = StationTrips(draw_trips(scenario, 31 * years, default_rng(1)), 0)
    low, high = wilson_interval(0.5, years * 15.5)
    more = more_years(trips, Share(0.5, low, high))
    assert more.years == years + 1
    assert more.width_now_share == pytest.approx(high - low)
    low, high = wilson_interval(0.5, (years + 1) * 15.5)
    # Student's t by year would shrink by more, so that Wilson's interval is the wider one then.
    assert more.width_then_share == pytest.approx(high - low)
    if years == 3:
        # Where the years scatter: t at .975 is 4.303 with 2 degrees of freedom, 3.182 with 3.
        wide = more_years(trips, Share(0.5, 0.02, 0.98))
        then = 0.96 * 3.182 / 2.0 / (4.303 / sqrt(3.0))
        assert wide.width_then_share == pytest.approx(then, rel=5e-4)


def test_answers_tell_how_far_they_have_come_and_can_be_left():
    scenario = in_season(small_kit(), days=1)
    told, search = [], search_answers(scenario, 0, trips=12)
    while True:
        try:
            told.append(next(search))
        except StopIteration as end:
            found = end.value
            break
    assert told == sorted(told)
    assert 0.0 <= told[0] <= told[-1] <= 1.0
    assert found.trips == 12
    left = search_answers(scenario, 0, trips=12)
    next(left)
    left.close()
    with pytest.raises(StopIteration):
        next(left)


def test_odds_of_none_or_all_are_refused_and_a_faulty_station_has_no_answers():
    scenario = question(small_kit(), days=1)
    for odds in (0.0, 1.0):
        with pytest.raises(ValueError, match="above 0 and below 1"):
            answers(scenario, 0, odds=odds, trips=4)
    with pytest.raises(ValueError, match="at least 1 trial trip"):
        answers(scenario, 0, trips=0)
    # More than the radio is rated for: no voltage suits it.
    faulty = with_value(scenario, "stations.0.radio.supply_min_v", 15.95)
    assert why_withheld(faulty, 0) is not None
    assert answers(faulty, 0, trips=4) is None


@pytest.mark.parametrize(
    ("value", "text"), [(15.04, "16 Ah"), (84.57, "85 Ah"), (100.0, "100 Ah"), (3.61, "3.7 Ah")]
)
def test_a_size_is_said_rounded_up(value, text):
    assert rounded_up(value, "Ah").replace("\N{NO-BREAK SPACE}", " ") == text


@pytest.fixture(scope="module")
def found():
    scenario = in_season(one_box(), small_kit(), date=date(2027, 12, 10))
    return answers(scenario, 0, goal="plan", odds=0.8, trips=60)


def test_sentences_say_what_was_counted(found):
    assert raise_words(found, found.raises[0]).startswith(found.raises[0].words)
    for one in telling_raises(found):
        assert " instead of " in raise_words(found, one)
    assert bool(no_raise_words(found)) is not bool(telling_raises(found))
    for size in (found.sizes.battery, found.sizes.panel):
        said = size_words(found.sizes, size).replace("\N{NO-BREAK SPACE}", " ")
        assert "8 of 10 trial trips" in said
        assert ("No " in said) is not bool(size.value)
    assert "With days of 2 years" in years_words(found)


def test_the_command_answers_more_where_it_is_asked(tmp_path, capsys):
    path, out = tmp_path / "trip.toml", tmp_path / "odds.json"
    write_scenario(question(small_kit(), days=1), str(path))
    asked = ["--more", "--of-ten", "7", "--goal", "plan"]
    assert main(["odds", str(path), "--trips", "20", *asked, "--json", str(out)]) == 0
    told = json.loads(out.read_text())["stations"][0]["answers"]
    expected = answers(question(small_kit(), days=1), 0, goal="plan", odds=0.7, trips=20)
    assert told["smallest_battery"]["size"] == expected.sizes.battery.value
    assert [one["key"] for one in told["raise"]] == [one.key for one in expected.raises]
    assert told["more_years"]["years"] is None
    said = " ".join(capsys.readouterr().out.split())
    assert "What would raise the odds" in said
    assert "7 of 10 trial trips" in said
    for wrong in ("0", "10", "nine"):
        with pytest.raises(SystemExit):
            main(["odds", str(path), "--more", "--of-ten", wrong])
        assert "must be a whole number from 1 to 9" in capsys.readouterr().err


def test_without_asking_every_answer_is_null(tmp_path):
    path, out = tmp_path / "trip.toml", tmp_path / "odds.json"
    write_scenario(question(small_kit(), days=1), str(path))
    assert main(["odds", str(path), "--trips", "10", "--json", str(out)]) == 0
    told = json.loads(out.read_text())["stations"][0]["answers"]
    assert (told["goal"], told["raise"], told["frontier"]) == (None, [], [])
    assert told["smallest_panel"]["size"] is None
