"""The year by day: how long each kit holds when the run begins on each of its dates.

Weather of each day is the climate's mean weather on that date, smooth over the year with the means
of the months as given. Every date is a run of its own, of as many days as the scenario, all at
once.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from datetime import UTC, timedelta
from datetime import date as Date

import numpy as np
from numpy.typing import NDArray

from model.engine.batch import search_batch
from model.engine.batch_notes import NEVER, Booleans, Outcomes
from model.engine.comparison import COARSE_STEP_MIN, why_withheld
from model.engine.fleet import Each, Fleet, fleet_of_one, side_by_side
from model.engine.inputs import Inputs, station_inputs
from model.scenario.daily import INDEX_LIMIT
from model.scenario.scenario import Scenario
from model.sky.climate_light import site_climate
from model.sky.monthly_nodes import day_of_year
from model.sky.timeline import timeline
from model.sky.trip import Trip, Weather
from model.sky.weather import air_c
from model.station.carried_mass import shared_extras
from model.station.chemistry import Floats
from model.station.conductors import path_ohm
from model.station.part_loads import converter_w
from model.support.progress import Search, finish, within

Span = tuple[Date, Date]
# Sky, cells and loads are worked out for so many dates at once; all dates run together.
DATES_AT_ONCE = 61
GATHERING_SHARE = 0.6


@dataclass(frozen=True, eq=False)
class StationYear:
    """One station; arrays of shape (dates,).

    Attributes
    ----------
    held_h : until the first clock ends, at most the whole run [h].
    lowest_fraction : least charge [1].
    works : whether no clock ends.
    keeps_reserve : whether the charge stays at or above the reserve besides.
    """

    held_h: Floats
    lowest_fraction: Floats
    works: Booleans
    keeps_reserve: Booleans


@dataclass(frozen=True, eq=False)
class Year:
    """All stations by date; None where a station cannot be run."""

    dates: tuple[Date, ...]
    stations: tuple[StationYear | None, ...]

    def working_spans(self, index: int) -> tuple[Span, ...]:
        """Return first and last date of every stretch in which a kit works, the longest first.

        The year is a ring: a stretch may begin in autumn and end in spring.
        """
        station = self.stations[index]
        if station is None or not station.works.any():
            return ()
        if station.works.all():
            return ((self.dates[0], self.dates[-1]),)
        works = station.works
        begins = np.flatnonzero(works & ~np.roll(works, 1))
        ends = np.flatnonzero(works & ~np.roll(works, -1))
        if ends[0] < begins[0]:
            ends = np.roll(ends, -1)
        lengths = (ends - begins) % works.size
        order = np.argsort(-lengths, kind="stable")
        return tuple((self.dates[begins[at]], self.dates[ends[at]]) for at in order)


def season_year(scenario: Scenario) -> Year | None:
    """Return the year by day; None where the scenario has no climate."""
    return finish(search_year(scenario))


def search_year(scenario: Scenario) -> Search[Year | None]:
    """Run every station from every date of the scenario's year."""
    if scenario.climate is None:
        return None
    first = Date(scenario.day.date.year, 1, 1)
    dates = tuple(
        first + timedelta(days=n) for n in range((first.replace(year=first.year + 1) - first).days)
    )
    stations: list[StationYear | None] = []
    count = len(scenario.stations)
    for index in range(count):
        if why_withheld(dated(scenario, first), index) is not None:
            stations.append(None)
            continue
        search = _search_station(scenario, index, dates)
        stations.append((yield from within(search, index / count, (index + 1) / count)))
    return Year(dates, tuple(stations))


def dated(scenario: Scenario, date: Date) -> Scenario:
    """Return the scenario from a date on, with the climate's mean weather of each local date.

    Raises
    ------
    ValueError
        When the scenario has no climate.
    """
    day = scenario.day.model_copy(update={"date": date})
    dates = len(timeline(scenario.site, day).dates)
    weather = _mean_weather(scenario, date, dates)
    given = {"sky": weather.index, "low_c": weather.low_c, "high_c": weather.high_c}
    return scenario.model_copy(
        update={"day": day.model_copy(update={name: _rounded(of) for name, of in given.items()})}
    )


def _rounded(values: tuple[float, ...]) -> tuple[float, ...]:
    """Return values as a person would type them."""
    return tuple(round(value, 2) for value in values)


def _mean_weather(scenario: Scenario, date: Date, dates: int) -> Weather:
    climate = scenario.climate
    if climate is None:
        raise ValueError("the scenario has no climate")
    of_place = site_climate(scenario.site, climate)
    days = [day_of_year(date + timedelta(days=n)) for n in range(dates)]
    index = np.minimum(of_place.mean_index, INDEX_LIMIT)
    index_by_date, low_c, high_c = (
        tuple(of[days].tolist()) for of in (index, of_place.low_c, of_place.high_c)
    )
    return Weather(index_by_date, low_c, high_c, scenario.day.wind_m_s)


def _search_station(scenario: Scenario, index: int, dates: tuple[Date, ...]) -> Search[StationYear]:
    fleets = []
    for begin in range(0, len(dates), DATES_AT_ONCE):
        yield GATHERING_SHARE * begin / len(dates)
        fleets.append(_windows(scenario, index, dates[begin : begin + DATES_AT_ONCE]))
    yield GATHERING_SHARE
    whole = side_by_side(fleets)
    outcomes: Outcomes = yield from within(search_batch(whole), GATHERING_SHARE, 1.0)
    return StationYear(
        held_h=np.minimum(outcomes.first_end_h, 24.0 * scenario.day.days),
        lowest_fraction=outcomes.lowest_fraction,
        works=np.isinf(outcomes.first_end_h),
        keeps_reserve=np.isinf(outcomes.first_end_h) & (outcomes.reserve == NEVER),
    )


def _first_steps(scenario: Scenario, dates: tuple[Date, ...]) -> NDArray[np.int64]:
    """Return the step of the year at which each date's run begins, by the wall clock."""
    days = [scenario.day.model_copy(update={"date": date}) for date in dates]
    # In UTC, as times of one zone are subtracted by their wall clocks.
    begins = [timeline(scenario.site, day).start.astimezone(UTC) for day in days]
    elapsed = [(begin - begins[0]).total_seconds() / 60 for begin in begins]
    return np.round(np.array(elapsed) / COARSE_STEP_MIN).astype(np.int64)


def _windows(scenario: Scenario, index: int, dates: tuple[Date, ...]) -> Fleet:
    """Cut a stretch of the year into one run for each of its dates."""
    days = scenario.day.days
    count = len(dates) + days + 1
    weather = _mean_weather(scenario, dates[0], count + 1)
    whole = Trip(dates[0], scenario.day.start_hour, count, weather)
    inputs = station_inputs(
        scenario.site, whole, scenario.plan, scenario.stations[index],
        shared_extras(scenario, index), COARSE_STEP_MIN,
    )  # fmt: skip
    first = _first_steps(scenario, dates)
    steps = round(days * 24 * 60 / COARSE_STEP_MIN)
    at = first[None, :] + np.arange(steps)[:, None]
    fleet = fleet_of_one(inputs, first.size)
    course = {name: values[at] for name, values in fleet.course.items() if values.size}
    course["load_w"] = inputs.loads.other_w[at]
    if not fleet.own_laptop:
        course["load_w"] = course["load_w"] + _laptop_w(inputs, at)
    air = air_c(scenario.site, whole, COARSE_STEP_MIN)[at].mean(axis=0)
    return replace(
        fleet,
        steps=steps,
        limits=dict(fleet.limits) | _lead_ohms(inputs, air),
        course=course,
        send_row=fleet.send_row[at],
    )


def _laptop_w(inputs: Inputs, at: NDArray[np.int64]) -> Floats:
    """Return what the laptop's converter takes; its own battery is full on each date. [W]"""
    laptop = inputs.station.laptop
    asked_w = inputs.loads.laptop_w[at]
    if laptop is None:
        return asked_w
    return converter_w(laptop, asked_w, COARSE_STEP_MIN / 60)


def _lead_ohms(inputs: Inputs, air: Floats) -> dict[str, Each]:
    """Return the leads at each run's mean air; copper's resistance is linear in temperature."""
    found: dict[str, Each] = {}
    for feeds in ("battery", "radio", "amplifier", "panel"):
        cold, warm = (path_ohm(inputs.station, feeds, at_c) for at_c in (20.0, 21.0))
        found[f"{feeds}_lead_ohm"] = cold + (warm - cold) * (air - 20.0)
    return found
