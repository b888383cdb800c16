"""Bands of planned days against days that were: does a band of 80 % hold four days in five?

Each day of the three weather years gets the class of its mean cover, as somebody who foresees the
cover but not the light, and the drawn days of that class are held beside it: first the day's light,
then the charge that a kit ends with, by the balance that is written apart (``plain_balance``).
Fixed days and seed; others, and any file with cover, by
``python -m tests.outside.test_word_bands --seed N [FILE...]``.
"""

from __future__ import annotations

import argparse
import sys
from dataclasses import replace
from datetime import date, timedelta
from functools import cache
from pathlib import Path
from typing import NamedTuple

import numpy as np
import pytest
from numpy.random import default_rng
from scipy.stats import norm

from model.editing.paths import with_value
from model.odds.trip_runs import search_trip_runs
from model.odds.trips import Varied, draw_skies, draw_trips
from model.scenario.scenario import Scenario
from model.sky.cloud_words import COVER_CLASSES
from model.sky.daily_weather import DARK_DAY_W_M2, DaySums, day_sums
from model.sky.word_scales import word_scales
from model.support.progress import finish
from tests.outside.file_places import FILES, START_HOUR, at, plain_kit, record
from tests.outside.plain_balance import hours_of, lowest_and_end, panel_amperes

LOW, HIGH = 0.1, 0.9
DRAWN, TRIPS = 20_000, 200
EVERY_DAYS = 5
STEP_MIN = 30.0
START_FRACTION = 0.5
# Charge within so much of the capacity is the same: full, or empty.
PINNED = 0.002
FEWEST_DAYS = 10
# What each class is planned as; of 7 to 7.8 eighths there is no word.
SKIES = ("clear", "mostly clear", "mixed", "mostly cloudy", COVER_CLASSES[4][1].index, "overcast")
SKY_ALONE = Varied(plan=False, numbers=False)
# A battery that the panels rarely fill or leave empty within a day [Ah], and these [W], [deg].
WIDE_AH = 60.0
PANELS = {"Sand Point": (60.0, 55.0), "Greensboro": (40.0, 36.0), "Miami": (36.0, 26.0)}


class Days(NamedTuple):
    """Days with cover of one place: index [1], cover [okta], sums, half-month of the year."""

    index: np.ndarray
    cover_okta: np.ndarray
    sums: list[DaySums]
    half_month: np.ndarray


@cache
def days_of(path: Path) -> Days:
    known = {
        date: day
        for date, day in day_sums(record(path)).items()
        if day.cover_hours and day.clear_w_m2 > DARK_DAY_W_M2 and not np.isnan(day.clearness)
    }
    days = list(known.values())
    return Days(
        np.array([day.ghi_w_m2 / day.clear_w_m2 for day in days]),
        np.array([min(day.cover_okta, 8.0) for day in days]),
        days,
        np.array([2 * date.month + (date.day > 15) for date in known]),
    )


def class_at(okta: float) -> int:
    return int(np.digitize(okta, [least for least, _ in COVER_CLASSES])) - 1


def held(ranks: np.ndarray) -> float:
    """Share of the days in the band of 80 %."""
    return float(((ranks > LOW) & (ranks < HIGH)).mean())


def beyond(ranks: np.ndarray) -> float:
    """Share of the days beyond that end of the band where more are."""
    return float(max((ranks <= LOW).mean(), (ranks >= HIGH).mean()))


def light_ranks(path: Path, seed: int, *, scaled: bool) -> np.ndarray:
    """What share of the drawn days of its class each day is brighter than.

    Parameters
    ----------
    scaled : with the climate of the file, which scales the words; else without any.
    """
    scenario = at(path, 40.0, 0.0, date(2026, 6, 15), days=1)
    if not scaled:
        scenario = scenario.model_copy(update={"climate": None})
    return ranks_under(scenario, path, np.full(days_of(path).index.size, True), seed)


def apart_ranks(path: Path, seed: int) -> np.ndarray:
    """The same of the days of every other half-month, by words scaled to those between."""
    known, ranks = days_of(path), []
    scenario = at(path, 40.0, 0.0, date(2026, 6, 15), days=1)
    for half in (0, 1):
        kept = known.half_month % 2 == half
        scales = word_scales(
            [day for day, is_kept in zip(known.sums, kept, strict=True) if is_kept]
        )
        names = ("clear_scale", "loss_scale", "spread_scale")
        climate = scenario.climate.model_copy(update=dict(zip(names, scales[:3], strict=True)))
        ranks.append(
            ranks_under(scenario.model_copy(update={"climate": climate}), path, ~kept, seed)
        )
    return np.concatenate(ranks)


def ranks_under(scenario: Scenario, path: Path, asked: np.ndarray, seed: int) -> np.ndarray:
    """Ranks of the days asked for among those drawn for their class in a scenario."""
    known, ranks = days_of(path), []
    classes = np.array([class_at(okta) for okta in known.cover_okta])
    for one, sky in enumerate(SKIES):
        # A typed index is what it is, with a climate or without.
        if scenario.climate is not None and not isinstance(sky, str):
            continue
        told = with_value(scenario, "day.sky", (sky,))
        drawn = np.sort(draw_skies(told, DRAWN, default_rng(seed), "forecast").days.index[:, 0])
        ranks.append(np.searchsorted(drawn, known.index[asked & (classes == one)]) / DRAWN)
    return np.concatenate(ranks)


def refitted_ranks(path: Path, others: list[Path]) -> np.ndarray:
    """The same by a table made of other places alone: means and spreads of their days.

    How places differ cannot be told from two of them and is taken as the table has it.
    """
    known, ranks = days_of(path), []
    for one, (_, told) in enumerate(COVER_CLASSES):
        of_class = [
            days.index[[class_at(okta) == one for okta in days.cover_okta]]
            for days in map(days_of, others)
        ]
        enough = [index for index in of_class if index.size >= FEWEST_DAYS]
        spread = np.sqrt(np.mean([index.var() for index in enough]) + told.sd_between**2)
        mean = np.mean([index.mean() for index in enough])
        here = known.index[[class_at(okta) == one for okta in known.cover_okta]]
        ranks.append(norm.cdf((here - mean) / spread))
    return np.concatenate(ranks)


class Ends(NamedTuple):
    """Charge at the end of days of a place: what was, and what was drawn for it, over capacity."""

    was: np.ndarray
    drawn: np.ndarray
    day: np.ndarray

    def ranks(self, chance: np.random.Generator) -> np.ndarray:
        """Share of the drawn below what was; of equals, full or empty, a random part counts."""
        below = (self.drawn < self.was[:, None] - PINNED).mean(axis=1)
        equal = (np.abs(self.drawn - self.was[:, None]) <= PINNED).mean(axis=1)
        return below + chance.uniform(size=self.was.size) * equal

    def score(self) -> float:
        """Mean interval score of the drawn band of 80 %; the smaller the better."""
        return interval_score(self.was, *np.quantile(self.drawn, [LOW, HIGH], axis=1))

    def score_of_season(self) -> float:
        """The same of the band of what was within 15 days of each day, by its own year."""
        bands = []
        for day in self.day:
            apart = np.abs((self.day - day + 182) % 365 - 182)
            bands.append(np.quantile(self.was[(apart <= 15) & (apart > 0)], [LOW, HIGH]))
        return interval_score(self.was, *np.transpose(bands))


def interval_score(was: np.ndarray, low: np.ndarray, high: np.ndarray) -> float:
    """T. Gneiting, A. E. Raftery, J. Amer. Statist. Assoc. 102 (2007) 359-378, eq. 43."""
    missed = np.maximum(low - was, 0.0) + np.maximum(was - high, 0.0)
    return float(np.mean(high - low + 2.0 / (1.0 - (HIGH - LOW)) * missed))


def ends_of(path: Path, panel_w: float, tilt_deg: float, seed: int, *, scaled: bool) -> Ends:
    """Every fifth day of a year: 24 hours from 08:00 under the class of its two dates."""
    days = {day.timetuple().tm_yday - 1: sums for day, sums in day_sums(record(path)).items()}
    kit = replace(plain_kit(panel_w, tilt_deg), battery_ah=WIDE_AH)
    amperes, start_ah = panel_amperes(hours_of(path), kit), START_FRACTION * WIDE_AH
    scenario = at(path, panel_w, tilt_deg, date(2026, 1, 1), days=1)
    scenario = with_value(scenario, "stations.0.start_fraction", START_FRACTION)
    scenario = with_value(scenario, "stations.0.battery.capacity_ah", WIDE_AH)
    if not scaled:
        scenario = scenario.model_copy(update={"climate": None})
    was, drawn, on = [], [], []
    for first in range(seed % EVERY_DAYS, 364, EVERY_DAYS):
        both = [days[first], days[first + 1]]
        if any(day.clear_w_m2 <= DARK_DAY_W_M2 or np.isnan(day.cover_okta) for day in both):
            continue
        skies = tuple(SKIES[class_at(min(day.cover_okta, 8.0))] for day in both)
        low_c, high_c = (tuple(getattr(day, name) for day in both) for name in ("low_c", "high_c"))
        one = with_value(scenario, "day.date", date(2026, 1, 1) + timedelta(days=first))
        day = one.day.model_copy(update={"sky": skies, "low_c": low_c, "high_c": high_c})
        trips = draw_trips(
            one.model_copy(update={"day": day}), TRIPS, default_rng(seed), basis="forecast",
            varied=SKY_ALONE,
        )  # fmt: skip
        (runs,) = finish(search_trip_runs(trips, step_min=STEP_MIN))
        drawn.append(runs.charge_fraction[-1])
        was.append(lowest_and_end(amperes, kit, first, START_HOUR, 1, start_ah)[1] / WIDE_AH)
        on.append(first)
    return Ends(np.array(was), np.array(drawn), np.array(on))


@cache
def charge(name: str) -> Ends:
    """Ends of days at a place, by the table alone: no file has told it anything."""
    return ends_of(FILES[name], *PANELS[name], 1, scaled=False)


def test_four_days_in_five_lie_in_the_band_of_their_light():
    # Found .77, .88 and .87; pooled .84. The table is fitted to files like these, see below.
    ranks = {name: light_ranks(path, 1, scaled=False) for name, path in FILES.items()}
    for of_place in ranks.values():
        assert 0.65 <= held(of_place) <= 0.92
        assert beyond(of_place) <= 0.2
    assert 0.75 <= held(np.concatenate(list(ranks.values()))) <= 0.85


def test_words_scaled_to_the_place_by_its_climate_hold_as_many():
    # Found .82, .81 and .80; pooled .81. These are three of thirteen files the spread left between
    # places was fitted to: pooled .79, at each .74 to .86, no tail above .16.
    ranks = {name: light_ranks(path, 1, scaled=True) for name, path in FILES.items()}
    for of_place in ranks.values():
        assert 0.65 <= held(of_place) <= 0.92
        assert beyond(of_place) <= 0.2
    assert 0.75 <= held(np.concatenate(list(ranks.values()))) <= 0.85


def test_words_scaled_by_some_days_of_a_place_hold_on_its_other_days():
    # Found .81, .81 and .80. Over thirteen files pooled .78, at each .73 to .85, no tail above .16.
    ranks = {name: apart_ranks(path, 1) for name, path in FILES.items()}
    for of_place in ranks.values():
        assert 0.65 <= held(of_place) <= 0.92
        assert beyond(of_place) <= 0.2
    assert 0.75 <= held(np.concatenate(list(ranks.values()))) <= 0.85


def test_haze_on_clear_days_is_not_given_to_the_clouds():
    """A file whose clear and mostly clear days lose a tenth more, the cloudy ones nothing."""
    for path in FILES.values():
        known = days_of(path)
        hazy = [
            replace(day, ghi_w_m2=day.ghi_w_m2 * (0.9 if day.cover_okta < 3.0 else 1.0))
            for day in known.sums
        ]
        plain, found = word_scales(known.sums), word_scales(hazy)
        assert found.clear_ratio < plain.clear_ratio - 0.05
        assert found.losses < plain.losses


def test_a_table_made_of_two_places_holds_at_a_third_taken_together():
    # Found .63 at Sand Point, .85 and .79; pooled .76. Two places of the south say too little of a
    # third in the north: there a third of the days are darker than the band.
    paths = list(FILES.values())
    ranks = [refitted_ranks(path, [one for one in paths if one != path]) for path in paths]
    assert 0.75 <= held(np.concatenate(ranks)) <= 0.85
    assert all(held(of_place) >= 0.6 for of_place in ranks)


def test_four_days_in_five_end_with_a_charge_in_the_band():
    # Found .81, .82 and .85; pooled .83, of 219 days.
    ranks = {name: charge(name).ranks(default_rng(1)) for name in FILES}
    for of_place in ranks.values():
        assert 0.65 <= held(of_place) <= 0.92
        assert beyond(of_place) <= 0.2
    pooled = np.concatenate(list(ranks.values()))
    assert pooled.size >= 200
    assert 0.75 <= held(pooled) <= 0.85


@pytest.mark.parametrize("name", FILES)
def test_a_word_says_more_of_a_day_than_its_season_does(name):
    # Found scores of .17, .10 and .10 of the capacity against .37, .24 and .18.
    assert charge(name).score() < 0.75 * charge(name).score_of_season()


def told(ranks: np.ndarray) -> str:
    low, high = (ranks <= LOW).mean(), (ranks >= HIGH).mean()
    return f"in the band {held(ranks):.3f}, below {low:.3f}, above {high:.3f} of {ranks.size}"


def main() -> None:
    given = argparse.ArgumentParser(description=__doc__)
    given.add_argument("--seed", type=int, default=1)
    given.add_argument(
        "files", nargs="*", type=Path, help="weather files with cover, for the light"
    )
    asked = given.parse_args()
    paths = {path.name: path for path in asked.files} or FILES
    for words, of in (
        ("light, by the table", lambda one: light_ranks(one, asked.seed, scaled=False)),
        ("light, scaled by the climate", lambda one: light_ranks(one, asked.seed, scaled=True)),
        ("light, scaled by other days", lambda one: apart_ranks(one, asked.seed)),
        (
            "light, by a table of the other places",
            lambda one: refitted_ranks(one, [path for path in paths.values() if path != one]),
        ),
    ):
        ranks = {name: of(path) for name, path in paths.items()}
        for name, of_place in ranks.items():
            sys.stdout.write(f"{words}, {name}: {told(of_place)}\n")
        sys.stdout.write(f"{words}, all: {told(np.concatenate(list(ranks.values())))}\n")
    for scaled in () if asked.files else (False, True):
        words = "charge, scaled by the climate" if scaled else "charge, by the table"
        found = []
        for name, path in FILES.items():
            ends = ends_of(path, *PANELS[name], asked.seed, scaled=scaled)
            found.append(ends.ranks(default_rng(asked.seed)))
            scores = f"score {ends.score():.3f}, of the season {ends.score_of_season():.3f}"
            sys.stdout.write(f"{words}, {name}: {told(found[-1])}; {scores}\n")
        sys.stdout.write(f"{words}, all: {told(np.concatenate(found))}\n")


if __name__ == "__main__":
    main()
