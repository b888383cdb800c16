"""What a run is put under: from when, for how long, and the weather of each local date.

A planned day becomes a trip here; a drawn trip is made of arrays by whoever draws it. All that
computes light, air or cells takes a trip, and nothing else reads how the weather was given.
"""

from __future__ import annotations

from collections.abc import Hashable
from dataclasses import dataclass, replace
from datetime import date as Date
from datetime import timedelta
from typing import TYPE_CHECKING, Protocol

from model.sky.cloud_words import index_of

if TYPE_CHECKING:
    from model.scenario.climate import Climate
    from model.scenario.scenario import Day, Scenario


class Stretch(Hashable, Protocol):
    """What a clock needs to know: a day of a scenario has it, and a trip."""

    @property
    def date(self) -> Date:
        """Local date of the start."""

    @property
    def start_hour(self) -> float:
        """Wall clock of the start [h]."""

    @property
    def days(self) -> int:
        """How many times 24 elapsed hours."""


@dataclass(frozen=True)
class Dates:
    """A stretch of time and nothing else: what is remembered by it is found under every weather.

    Attributes
    ----------
    date : local date of the start.
    start_hour : wall clock of the start [h].
    days : how many times 24 elapsed hours.
    """

    date: Date
    start_hour: float
    days: int


@dataclass(frozen=True)
class Weather:
    """The weather of each local date from that of the run's start; a short tuple goes on.

    Attributes
    ----------
    index : the day's light over that of the clear sky [1].
    low_c, high_c : lowest and highest air temperature, near 03:00 and 15:00 [degC].
    wind_m_s : wind at the panel [m/s].
    """

    index: tuple[float, ...]
    low_c: tuple[float, ...]
    high_c: tuple[float, ...]
    wind_m_s: float = 1.0


@dataclass(frozen=True)
class Trip(Dates):
    """A stretch of time with its weather.

    Attributes
    ----------
    weather : of each local date from ``date`` on.
    """

    weather: Weather

    def with_a_day_before(self) -> Trip:
        """Return the trip with a day before it that has the weather of its first date."""
        given = self.weather
        return replace(
            self,
            date=self.date - timedelta(days=1),
            days=self.days + 1,
            weather=Weather(
                given.index[:1] + given.index,
                given.low_c[:1] + given.low_c,
                given.high_c[:1] + given.high_c,
                given.wind_m_s,
            ),
        )

    def for_days(self, days: int) -> Trip:
        """Return the same for so many days; the weather of the last date goes on."""
        return replace(self, days=days)

    def with_air_alone(self) -> Trip:
        """Return the trip under one sky and wind: what the air alone decides is found by it."""
        given = self.weather
        return replace(self, weather=Weather((1.0,), given.low_c, given.high_c))

    def with_first_weather(self) -> Trip:
        """Return the trip with the weather of its first date on all of them."""
        given = self.weather
        first = Weather(given.index[:1], given.low_c[:1], given.high_c[:1], given.wind_m_s)
        return replace(self, weather=first)


def dates_of(trip: Stretch) -> Dates:
    """Return a stretch of time without its weather."""
    return Dates(trip.date, trip.start_hour, trip.days)


def planned(scenario: Scenario) -> Trip:
    """Return the trip that a scenario plans: its words for the sky as they count at its place.

    Parameters
    ----------
    scenario : its day, and its climate where there is one.

    Returns
    -------
    Date, start hour, days and weather of each local date.
    """
    return planned_on(scenario.day, scenario.climate)


def planned_on(day: Day, climate: Climate | None = None) -> Trip:
    """Return the trip of a planned day; a climate scales what the words for a sky take away."""
    index = tuple(index_of(sky, climate) for sky in day.sky)
    weather = Weather(index, day.low_c, day.high_c, day.wind_m_s)
    return Trip(day.date, day.start_hour, day.days, weather)
