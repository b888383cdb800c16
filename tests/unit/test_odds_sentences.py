"""What is said of odds follows from them: read aloud, nothing of it is false."""

from __future__ import annotations

import re
from dataclasses import replace
from datetime import date

import numpy as np
import pytest

from model.editing.paths import with_value
from model.odds.half_months import HalfMonth
from model.odds.odds import odds
from model.odds.sentences import (
    basis_words,
    end_words,
    head_words,
    outlasts_words,
    receive_words,
    reserve_words,
    year_note,
)
from model.odds.shares import Share
from tests.laws.sample_kits import question

ENDS_H = 10.0, 20.0


@pytest.fixture(scope="module")
def found():
    return odds(question(days=2), 100, seed=3)


def with_ends(found, first_later, second_later):
    """The same with so many of a hundred trips in which either station receives longer."""
    early, late = ENDS_H
    ties = 100 - first_later - second_later
    ends = [late] * first_later + [early] * second_later + [early] * ties
    others = [early] * first_later + [late] * second_later + [early] * ties
    stations = tuple(
        replace(station, receive_end_h=np.array(of))
        for station, of in zip(found.stations, (ends, others), strict=True)
    )
    return replace(found, stations=stations)


@pytest.mark.parametrize(
    ("first", "second", "text"),
    [
        (75, 5, "A outlasts B in about 75 of 100 trial trips."),
        (5, 75, "B outlasts A in about 75 of 100 trial trips."),
        (10, 5, "A and B last equally long in about 85 of 100 trial trips."),
        (0, 0, "A and B last equally long in more than 99 of 100 trial trips."),
        (50, 30, "Too close to call: A lasts longer in about 50 of 100 trial trips, B in about"
         " 30 of 100."),
    ],
)  # fmt: skip
def test_who_outlasts_whom_is_told_by_the_trips_that_differ(found, first, second, text):
    assert outlasts_words(with_ends(found, first, second), 0, 1) == text


def test_a_reserve_that_outlives_the_station_is_told(found):
    kept, lost = Share(0.9, 0.8, 0.95), Share(0.1, 0.02, 0.3)
    station = found.stations[0]

    def said(receive):
        stations = (replace(station, reserve=kept, receive=receive), found.stations[1])
        return reserve_words(replace(found, stations=stations), 0)

    head = "If the forecast holds: A keeps its reserve in about 9 in 10 trips (8 to more than 9)."
    assert said(kept) == head
    assert said(lost) == f"{head} A can go off the air with its reserve still in the battery."


def test_clocks_that_end_alike_are_told_once_and_with_their_trips(found):
    station = found.stations[0]
    never = replace(next(iter(station.ends.values())), low_h=np.inf, middle_h=np.inf,
                    high_h=np.inf, never_share=1.0)  # fmt: skip
    early = replace(never, low_h=10.0, middle_h=12.0, high_h=14.0, never_share=0.0)
    some = replace(early, high_h=np.inf, never_share=0.3)

    def said(*ends):
        of = dict(zip(("full_power", "reduced_power", "receive"), ends, strict=True))
        stations = (replace(station, ends=of, first_end_h=np.full(100, np.inf)),)
        return end_words(replace(found, stations=stations), 0)

    first, last = said(early, early, some)
    assert first.startswith("full power and reduced power: the end comes between ")
    assert first.endswith(" in about 80 of 100 trial trips")
    assert re.fullmatch(
        r"receive: at least until .* in about 90 of 100 trial trips, to the end in about 30 of 100",
        last,
    )
    assert said(never, never, never) == ["no limit is reached in more than 99 of 100 trial trips"]


@pytest.mark.parametrize("value", [0.0, 0.004, 0.5, 0.996, 1.0])
def test_nothing_is_said_to_happen_never_or_always(found, value):
    share = Share(value, value, value)
    stations = (replace(found.stations[0], receive=share, reserve=share), found.stations[1])
    other = replace(found, stations=stations)
    for words in (receive_words(other, 0), reserve_words(other, 0)):
        assert not re.search(r"\b(0|10|all|none|never|always) in 10\b|\(0|to 10\)", words)


def test_season_and_forecast_are_told_at_the_head_and_a_typical_year_as_one(found):
    assert head_words(found) == "if the forecast holds"
    of_year = replace(found, basis="years", years=1, typical=True)
    assert head_words(of_year) == "any mid-June trip of 2 days, by one typical year"
    assert "bad years are worse" in basis_words(of_year)
    assert "forecast" not in receive_words(of_year, 0)


def test_what_else_differs_from_trip_to_trip_is_told(found):
    assert "how much is transmitted" in basis_words(found)
    plan = ({"start": "00:00", "end": "24:00", "activity": "watch"},)
    silent = replace(found, scenario=question(plan=plan, days=2))
    assert "how much is transmitted" not in basis_words(silent)


def test_words_that_a_climate_scales_are_not_said_to_be_those_of_any_place(found):
    worded, numbered = (
        replace(found, scenario=with_value(found.scenario, "day.sky", (sky,)))
        for sky in ("mixed", 0.8)
    )
    assert "One word for a sky means another light at another place" in basis_words(worded)
    assert "One word" not in basis_words(numbered)
    assert "Clear days differ in light from place to place" in basis_words(numbered)
    months = {"low_c": [0.0] * 12, "high_c": [9.0] * 12, "clearness": [0.4] * 12}
    climate = with_value(found.scenario, "climate", months | {"clear_scale": 0.93})
    scaled = basis_words(replace(found, scenario=climate))
    assert "another place" not in scaled
    assert "scaled to the place by weather files; the bounds allow for what that leaves" in scaled
    typed = with_value(found.scenario, "climate", months)
    assert basis_words(replace(found, scenario=typed)) == basis_words(found)


@pytest.mark.parametrize(
    ("by_years", "said"),
    [(0, ""), (1, "1 half-month is by days"), (5, "5 half-months are by days"), (24, "")],
)
def test_half_months_of_two_origins_are_told_apart(found, by_years, said):
    halves = [
        HalfMonth(date(2026, 1 + at // 2, 16 if at % 2 else 1), basis, (), ())
        for at, basis in enumerate(["years"] * by_years + ["climate"] * (24 - by_years))
    ]
    note = year_note(replace(found, half_months=tuple(halves)))
    assert note.startswith(said)
    assert bool(note) == bool(said)
