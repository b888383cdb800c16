"""Trial trips: the plan under a drawn sky, kept as far as is drawn, with every number's error.

Everything is drawn once a trip and holds for all stations in it: the sky of each local date, how
far the plan is kept, and the error of numbers that share one (``results.shared_errors``).
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Literal

import numpy as np
from numpy.random import Generator
from numpy.typing import NDArray

from model.odds.sampling import BAND_DEVIATIONS, Draw, draw
from model.odds.years_trips import YearTrips, by_day_of_year, trips_of_years
from model.scenario.climate import Climate
from model.scenario.scenario import Block, Scenario
from model.scenario.station import Station
from model.sky.climate_days import DaySkies, draw_days, mirrored_scores
from model.sky.climate_light import site_climate, year_light
from model.sky.cloud_words import index_of, spreads_of
from model.sky.daily_climate import daily_index
from model.sky.monthly_nodes import day_of_year
from model.sky.planned_draws import draw_planned
from model.sky.timeline import Floats, timeline
from model.sky.trip import planned
from model.station.carried_mass import shared_extras

Basis = Literal["years", "climate", "forecast"]
# Half-width of the 95 % band of the share of a block that is really transmitted, over the plan's:
# an assumption. Nets run long or stay short together, so one factor goes with the whole trip.
PLAN_SPREAD = 0.3
# How far the lows and highs of a planned day may be off, standard deviation of the whole trip
# [degC]: forecasts of a day or two ahead miss by about 2, common practice, no source.
FORECAST_AIR_SD_C = 2.0


@dataclass(frozen=True, eq=False)
class Varied:
    """What differs from trip to trip; what does not stays as the scenario says."""

    sky: bool = True
    plan: bool = True
    numbers: bool = True


@dataclass(frozen=True, eq=False)
class DrawnSkies:
    """A sky for each trip.

    Attributes
    ----------
    basis : where they come from.
    days : one for each local date of the trip, shape (trips, dates).
    start : which start of which year each is, shape (trips,); None without years.
    years : the starts themselves; None without years.
    place_deviation_ratio : how far the place is brighter than the words, in standard deviations,
        shape (trips,) [1]; None where the skies are not those of words.
    typical : some of the years are spliced from ordinary months.
    """

    basis: Basis
    days: DaySkies
    start: NDArray[np.int64] | None = None
    years: YearTrips | None = None
    place_deviation_ratio: Floats | None = None
    typical: bool = False


@dataclass(frozen=True, eq=False)
class Trips:
    """All that is drawn for some trips.

    Attributes
    ----------
    scenario : the question.
    trips : how many.
    skies : of each trip.
    plan_kept_factor : on the share of time spent sending, shape (trips,) [1]; None where it is not
        drawn.
    numbers : of each station by path, empty where nothing is drawn.
    cold_fraction : what lithium cells give in hard cold beyond their curve, of the capacity, shape
        (trips,) [1]: one curve is behind all, so that they share its error; None without such.
    """

    scenario: Scenario
    trips: int
    skies: DrawnSkies
    plan_kept_factor: Floats | None
    numbers: tuple[dict[str, Draw], ...]
    cold_fraction: Floats | None = None


def draw_trips(
    scenario: Scenario,
    trips: int,
    chance: Generator,
    *,
    basis: Basis | None = None,
    varied: Varied | None = None,
) -> Trips:
    """Draw trips of a scenario.

    Parameters
    ----------
    scenario : the question.
    trips : how many.
    chance : the same state gives the same trips.
    basis : where skies come from; without it, years before the climate before planned words.
    varied : what differs from trip to trip; without it everything.

    Returns
    -------
    Skies, transmit share and numbers of each trip.
    """
    what = varied or Varied()
    skies = draw_skies(scenario, trips, chance, basis if what.sky else "forecast", drawn=what.sky)
    kept = draw_plan_kept(scenario.plan, trips, chance) if what.plan else None
    kits = [
        (station, shared_extras(scenario, index)) for index, station in enumerate(scenario.stations)
    ]
    numbers = draw(kits, trips, chance) if what.numbers else ({},) * len(kits)
    cold = draw_cold(scenario.stations, trips, chance) if what.numbers else None
    return Trips(scenario, trips, skies, kept, numbers, cold)


def best_basis(scenario: Scenario) -> Basis:
    """Return the best that a scenario offers to draw skies from."""
    climate = scenario.climate
    if climate is None:
        return "forecast"
    years = _near_starts(scenario, climate, len(timeline(scenario.site, scenario.day).dates))
    return "years" if years is not None else "climate"


def draw_skies(
    scenario: Scenario,
    trips: int,
    chance: Generator,
    basis: Basis | None = None,
    *,
    drawn: bool = True,
) -> DrawnSkies:
    """Draw the sky of each local date of every trip.

    Raises
    ------
    ValueError
        When years or a climate are asked for that the scenario does not have.
    """
    dates = len(timeline(scenario.site, scenario.day).dates)
    wanted = basis or best_basis(scenario)
    if wanted == "forecast":
        return _forecast(scenario, dates, trips, chance, drawn=drawn)
    if scenario.climate is None:
        raise ValueError("the scenario has no climate")
    first = day_of_year(scenario.day.date)
    if wanted == "climate":
        of_place = site_climate(scenario.site, scenario.climate)
        return DrawnSkies("climate", draw_days(of_place, first, dates, trips, chance))
    found = _near_starts(scenario, scenario.climate, dates)
    if found is None:
        raise ValueError("the scenario has no year without gaps about its date")
    # Every start as often as the others, as far as the number of trips allows.
    start = np.resize(chance.permutation(found.year.size), trips)
    days = found.skies.of(start)
    typical = any(year.typical for year in scenario.climate.years)
    return DrawnSkies("years", days, start=start, years=found, typical=typical)


def _near_starts(scenario: Scenario, climate: Climate, dates: int) -> YearTrips | None:
    if not climate.years:
        return None
    rows = [
        np.array([by_day_of_year(year.start, getattr(year, name)) for year in climate.years])
        for name in ("clearness", "low_c", "high_c")
    ]
    light = year_light(scenario.site)
    index = daily_index(rows[0], light.extraterrestrial_wh_m2, light.clear_wh_m2)
    found = trips_of_years(
        index, rows[1], rows[2], day_of_year(scenario.day.date), dates,
        begins=[day_of_year(year.start) for year in climate.years],
    )  # fmt: skip
    return found if found.year.size else None


def _forecast(
    scenario: Scenario, dates: int, trips: int, chance: Generator, *, drawn: bool
) -> DrawnSkies:
    day, weather = scenario.day, planned(scenario).weather
    skies = [day.sky[min(at, len(day.sky) - 1)] for at in range(dates)]
    mean = np.array([index_of(sky, scenario.climate) for sky in skies])
    low_c, high_c = (
        np.array([given[min(at, len(given) - 1)] for at in range(dates)])
        for given in (weather.low_c, weather.high_c)
    )
    whole = (trips, dates)
    if not drawn:
        days = DaySkies(*(np.broadcast_to(row, whole) for row in (mean, low_c, high_c)))
        return DrawnSkies("forecast", days)
    of_place = mirrored_scores(chance, trips, 1)
    within, between = zip(*(spreads_of(sky, scenario.climate) for sky in skies), strict=True)
    index = draw_planned(mean, within, between, trips, chance, of_place=of_place)
    warmer = FORECAST_AIR_SD_C * chance.standard_normal((trips, 1))
    return DrawnSkies(
        "forecast",
        DaySkies(index, low_c + warmer, high_c + warmer),
        place_deviation_ratio=of_place[:, 0],
    )


def draw_cold(stations: Sequence[Station], trips: int, chance: Generator) -> Floats | None:
    """Return what cells give in hard cold beyond their curve, None where that is known [1].

    Parameters
    ----------
    stations : whose cells; one curve is behind all.
    trips : how many.
    chance : where the draws come from.

    Returns
    -------
    Of the capacity, shape (trips,) [1].
    """
    spread = max(one.battery.cell.cold_spread_fraction for one in stations)
    if not spread:
        return None
    more: Floats = spread / BAND_DEVIATIONS * chance.standard_normal(trips)
    return more


def draw_plan_kept(plan: Sequence[Block], trips: int, chance: Generator) -> Floats | None:
    """Return the factor on the plan's transmit shares; None where nothing is transmitted.

    Parameters
    ----------
    plan : no block of it can be transmitted for more than all of its time.
    trips : how many.
    chance : where the draws come from.

    Returns
    -------
    Factor of each trip, shape (trips,) [1].
    """
    most = max((block.transmit_share for block in plan), default=0.0)
    if not most > 0.0:
        return None
    deviation = np.log1p(PLAN_SPREAD) / BAND_DEVIATIONS
    factor: Floats = np.exp(deviation * chance.standard_normal(trips))
    return np.minimum(factor, 1.0 / most)
