"""Clearness and the clear-sky index: what a month of a climate table says of the light at a place.

Climate tables give clearness, the mean daily light on the level over that above the atmosphere
(Liu and Jordan 1960); a day's sky here is its light over that of the clear sky. The two differ by
the clearness of the clear sky at the place in that month.
"""

from __future__ import annotations

from datetime import UTC, datetime, timedelta
from functools import lru_cache
from typing import TYPE_CHECKING, NamedTuple

import numpy as np

from model.scenario.scenario import Scenario, Site
from model.sky.clear_sky import clear_light
from model.sky.daily_climate import DailyClimate, daily_climate
from model.sky.monthly_nodes import DAYS_A_YEAR, monthly_means
from model.sky.sun_position import Spot
from model.sky.timeline import Floats, Timeline
from model.sky.trip import planned
from model.support.cache import read_only

if TYPE_CHECKING:
    from model.scenario.climate import Climate

# Any year without a leap day does: what is asked are days and months of every year.
_YEAR, _STEP_MIN, _STEPS_AN_HOUR = 2027, 30.0, 2
_DEG_AN_HOUR = 15.0


class YearLight(NamedTuple):
    """Light on the level on each day of a year, both read-only, shape (365,). [Wh/m2]"""

    extraterrestrial_wh_m2: Floats
    clear_wh_m2: Floats


def year_light(site: Site) -> YearLight:
    """Return the light of each day above the atmosphere and under the clear sky of the place.

    Parameters
    ----------
    site : the place.

    Returns
    -------
    Energy on the level of each day, shape (365,) each [Wh/m2].
    """
    return _year_light(_spot(site))


def site_climate(site: Site, climate: Climate) -> DailyClimate:
    """Return a climate table as days at the place: what days are drawn from.

    Raises
    ------
    ValueError
        When a month's clearness is 0 or its spread is wider than days of its mean can have.
    """
    months = climate.clearness, climate.low_c, climate.high_c, climate.clearness_sd
    return _site_climate(
        _spot(site), *(None if given is None else tuple(given) for given in months)
    )


def clear_clearness(site: Site) -> Floats:
    """Return the clear sky's own clearness in each month.

    Parameters
    ----------
    site : the place.

    Returns
    -------
    Energy of the clear sky on the level over that above the atmosphere, both over all days of the
    month, shape (12,) [1]; NaN for a month in which the sun does not rise.
    """
    above, clear = (monthly_means(light) for light in year_light(site))
    share: Floats = np.divide(clear, above, out=np.full(12, np.nan), where=above > 0)
    return share


def monthly_clearness(site: Site, index: tuple[float, ...]) -> tuple[float, ...]:
    """Return the clearness of each month that has a clear-sky index.

    Parameters
    ----------
    site : the place.
    index : mean clear-sky index of each month, January first [1].

    Returns
    -------
    Clearness of each month, 0..1, 0 where no sun rises [1].
    """
    clear = np.nan_to_num(clear_clearness(site), nan=0.0)
    return tuple(np.clip(np.asarray(index) * clear, 0.0, 1.0).tolist())


def climate_like(scenario: Scenario) -> dict[str, list[float]]:
    """Return months that all have the weather of a run's first date, to begin a table with.

    Returns
    -------
    Lows and highs [degC] and clearness [1] of twelve months, by the names of a climate's fields.
    """
    first = planned(scenario).weather
    clearness = monthly_clearness(scenario.site, first.index[:1] * 12)
    return {
        "low_c": [first.low_c[0]] * 12,
        "high_c": [first.high_c[0]] * 12,
        "clearness": [round(value, 2) for value in clearness],
    }


def _spot(site: Site) -> Spot:
    return Spot(site.latitude_deg, site.longitude_deg, site.elevation_m)


@lru_cache(maxsize=32)
def _year_light(spot: Spot) -> YearLight:
    # Days from midnight to midnight by the sun, so that none holds parts of two.
    begin = datetime(_YEAR, 1, 1, tzinfo=UTC) - timedelta(hours=spot.longitude_deg / _DEG_AN_HOUR)
    clear, above = clear_light(spot, Timeline(begin, DAYS_A_YEAR, _STEP_MIN))
    days = (light.reshape(DAYS_A_YEAR, -1).sum(axis=1) for light in (above, clear))
    return YearLight(*(read_only(light / _STEPS_AN_HOUR) for light in days))


@lru_cache(maxsize=32)
def _site_climate(
    spot: Spot,
    clearness: tuple[float, ...],
    low_c: tuple[float, ...],
    high_c: tuple[float, ...],
    clearness_sd: tuple[float, ...] | None,
) -> DailyClimate:
    return daily_climate(
        clearness,
        low_c,
        high_c,
        latitude_deg=spot.latitude_deg,
        clearness_sd=clearness_sd,
        **_year_light(spot)._asdict(),
    )
