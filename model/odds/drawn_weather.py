"""The weather of many trips at once: air, cells and light on a panel, each a column of its own.

Light on a panel is worked out once for each of a dozen skies on the dates of the trip, and read
between them for every drawn day: the dates stay where the sun stands, only the sky differs.
"""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np

from model.scenario.scenario import Site
from model.scenario.station import Battery, Panel
from model.sky.climate_days import DaySkies
from model.sky.irradiance import PanelLight, panel_cell_c, panel_light
from model.sky.timeline import Floats, Timeline, timeline
from model.sky.trip import Trip, Weather
from model.sky.weather import air_of_dates
from model.station.cell_temperature import LAG_H, CellClimate, climate_of, lagged_c

# Clear-sky indices that the light is worked out for, denser where the beam comes through: read
# between them, the light of a day is off by less than a hundredth of that of a clear day.
INDEX_NODES = np.array([0.0, 0.15, 0.3, 0.42, 0.54, 0.64, 0.73, 0.81, 0.88, 0.94, 1.0, 1.1, 1.25])
# Light does not depend on the air; any does for the tables.
MILD_C = 15.0


@dataclass(frozen=True, eq=False)
class DrawnWeather:
    """Weather of trips that share their dates.

    Attributes
    ----------
    site, trip, step_min : place, stretch of time with its wind, and length of a step [min].
    index, low_c, high_c : of each local date, shape (dates, trips) [1], [degC].
    air_c : at the middle of each step, shape (steps, trips) [degC].
    """

    site: Site
    trip: Trip
    step_min: float
    index: Floats
    low_c: Floats
    high_c: Floats
    air_c: Floats

    @property
    def clock(self) -> Timeline:
        """The steps that all trips share."""
        return timeline(self.site, self.trip, self.step_min)

    def cells(self, battery: Battery) -> CellClimate:
        """Return what the temperature of a battery's cells permits, shape (steps, trips)."""
        lag_h = LAG_H[battery.kept]
        cell_c = lagged_c(self.clock, self.air_c, self.low_c[0], self.high_c[0], lag_h)
        warm_c = battery.warm_c if battery.kept == "warm" else None
        return climate_of(battery.chemistry, cell_c, warm_c, battery.lowest_charge_c)

    def light(self, panel: Panel) -> PanelLight:
        """Return the light on a panel, arrays of shape (steps, trips)."""
        if (self.index == self.index[:, :1]).all():
            # Under one sky there is nothing to read between.
            trip = replace(self.trip, weather=self._first_light())
            under = panel_light(self.site, trip, panel, self.step_min)
            entered, plane = (
                np.broadcast_to(light[:, None], self.air_c.shape)
                for light in (under.irradiance_w_m2, under.plane_w_m2)
            )
        else:
            entered, plane = self._between_nodes(panel)
        cell_c = panel_cell_c(plane, self.air_c, self.trip.weather.wind_m_s)
        return PanelLight(entered, plane, cell_c)

    def _first_light(self) -> Weather:
        return Weather(tuple(self.index[:, 0].tolist()), (MILD_C,), (MILD_C,))

    def _between_nodes(self, panel: Panel) -> tuple[Floats, Floats]:
        tables = light_tables(self.site, self.trip, panel, self.step_min)
        of_date = self.clock.date_of_step()
        entered, plane = (np.zeros(self.air_c.shape) for _ in tables)
        for date in range(int(of_date[-1]) + 1):
            lit = (of_date == date) & tables[1].any(axis=0)
            shares = node_shares(self.index[min(date, len(self.index) - 1)])
            for found, table in zip((entered, plane), tables, strict=True):
                found[lit] = table[:, lit].T @ shares
        return entered, plane


def same_weather(site: Site, trip: Trip, step_min: float, trips: int) -> DrawnWeather:
    """Return the weather of a trip, so many times over.

    Parameters
    ----------
    site : the place.
    trip : its weather is given to each.
    step_min : length of a step [min].
    trips : how many.

    Returns
    -------
    Light [W/m2] and air [degC] of every trip.
    """
    given, dates = trip.weather, len(timeline(site, trip, step_min).dates)
    index, low_c, high_c = (
        np.array([[of[min(at, len(of) - 1)] for at in range(dates)]] * trips)
        for of in (given.index, given.low_c, given.high_c)
    )
    return drawn_weather(site, trip, DaySkies(index, low_c, high_c), step_min)


def drawn_weather(site: Site, trip: Trip, skies: DaySkies, step_min: float) -> DrawnWeather:
    """Return the weather of drawn days.

    Parameters
    ----------
    site : the place.
    trip : date, start, length and wind; its own skies are not read.
    skies : a day for each local date that the trip touches, shape (trips, dates).
    step_min : length of a step [min].

    Returns
    -------
    Light [W/m2] and air [degC] of every trip.
    """
    low_c, high_c = skies.low_c.T, skies.high_c.T
    air = air_of_dates(timeline(site, trip, step_min), low_c, high_c)
    return DrawnWeather(site, trip, step_min, skies.index.T, low_c, high_c, air)


def light_tables(site: Site, trip: Trip, panel: Panel, step_min: float) -> tuple[Floats, Floats]:
    """Return the light that enters the cells and that on the plane under each node's sky.

    Parameters
    ----------
    site : the place.
    trip : date, start and length.
    panel : how it stands.
    step_min : length of a step [min].

    Returns
    -------
    Light into the cells and on the plane, shape (nodes, steps) each [W/m2].
    """
    entered, plane = [], []
    for index in INDEX_NODES.tolist():
        weather = Weather((index,), (MILD_C,), (MILD_C,))
        under = Trip(trip.date, trip.start_hour, trip.days, weather)
        light = panel_light(site, under, panel, step_min)
        entered.append(light.irradiance_w_m2)
        plane.append(light.plane_w_m2)
    return np.array(entered), np.array(plane)


def node_shares(index: Floats) -> Floats:
    """Return how much of each node a day's index is.

    Parameters
    ----------
    index : clear-sky index of one date in each trip, shape (trips,) [1]; beyond the outermost nodes
        it counts as those.

    Returns
    -------
    Shares, shape (nodes, trips) [1]; columns sum to 1.
    """
    last = INDEX_NODES.size - 1
    place = np.interp(index, INDEX_NODES, np.arange(last + 1.0))
    shares: Floats = np.maximum(1.0 - np.abs(place - np.arange(last + 1.0)[:, None]), 0.0)
    return shares
