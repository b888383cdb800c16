"""Clearness and the clear-sky index: what a month of a climate table says of the light at a place.

Climate tables give clearness, the mean daily light on the level over that above the atmosphere
(Liu and Jordan 1960); a day's sky here is its light over that of the clear sky. The two differ by
the clearness of the clear sky at the place in that month.
"""

from __future__ import annotations

from datetime import UTC, datetime
from functools import lru_cache

import numpy as np

from model.scenario.scenario import Scenario, Site
from model.sky.irradiance import clear_light
from model.sky.sun_position import Spot
from model.sky.timeline import Floats, Timeline
from model.sky.trip import planned
from model.support.cache import read_only

# Any year without a leap day does: what is asked are means of months.
_YEAR, _YEAR_DAYS, _STEP_MIN = 2027, 365, 30.0


def clear_clearness(site: Site) -> Floats:
    """Return the clear sky's own clearness in each month, read-only, shape (12,). [1]

    Energy of the clear sky on the level over that above the atmosphere, both over all days of the
    month; NaN for a month in which the sun does not rise.
    """
    return _clear_clearness(Spot(site.latitude_deg, site.longitude_deg, site.elevation_m))


@lru_cache(maxsize=32)
def _clear_clearness(spot: Spot) -> Floats:
    clock = Timeline(datetime(_YEAR, 1, 1, tzinfo=UTC), _YEAR_DAYS, _STEP_MIN)
    clear_ghi, above = clear_light(spot, clock)
    month = clock.middles_utc().month.to_numpy() - 1
    clear, most = (np.bincount(month, values, 12) for values in (clear_ghi, above))
    share = np.divide(clear, most, out=np.full(12, np.nan), where=most > 0)
    return read_only(share)


def monthly_index(site: Site, clearness: tuple[float, ...]) -> Floats:
    """Return the clear-sky index that gives each month its clearness, shape (12,). [1]

    Index 1 for a month in which the sun does not rise: there is nothing to dim.
    """
    index = np.asarray(clearness) / clear_clearness(site)
    return np.where(np.isnan(index), 1.0, index)


def monthly_clearness(site: Site, index: tuple[float, ...]) -> tuple[float, ...]:
    """Return the clearness of each month that has a clear-sky index; 0 where no sun rises. [1]"""
    clear = np.nan_to_num(clear_clearness(site), nan=0.0)
    return tuple(np.clip(np.asarray(index) * clear, 0.0, 1.0).tolist())


def climate_like(scenario: Scenario) -> dict[str, list[float]]:
    """Return months that all have the weather of a run's first date, to begin a table with."""
    first = planned(scenario).weather
    clearness = monthly_clearness(scenario.site, first.index[:1] * 12)
    return {
        "low_c": [first.low_c[0]] * 12,
        "high_c": [first.high_c[0]] * 12,
        "clearness": [round(value, 2) for value in clearness],
    }
