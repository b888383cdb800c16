"""What the words for a sky stand for at a place, found from days with light and cloud cover."""

from __future__ import annotations

from collections.abc import Iterable
from math import isnan
from typing import NamedTuple

import numpy as np

from model.sky.cloud_words import COVER_CLASSES, cover_class
from model.sky.daily_weather import DARK_DAY_W_M2, DaySums

# What words stand for at a place takes so many days with cloud cover.
LEAST_DAYS_FOR_SCALES = 60
# Bounds of the scales of clear days, of losses and of spread that a scenario may state.
SCALE_BOUNDS = ((0.7, 1.15), (0.2, 3.0), (0.3, 3.0))
# How places differ in clear days [index] and in the scale of losses, and how days miss the line of
# their place [index]: root mean squares over thirteen yearly files.
CLEAR_SD, LOSSES_SD, DAY_SD = 0.05, 0.2, 0.1


class WordScales(NamedTuple):
    """How the days of a place stand to the table of words.

    Attributes
    ----------
    clear_ratio : light of clear days over that of the table [1].
    losses : factor on what the other classes lack of it [1].
    spread : factor on how days of one class differ [1].
    days : days they were found from.
    """

    clear_ratio: float
    losses: float
    spread: float
    days: int

    @property
    def within_bounds(self) -> bool:
        """Whether a scenario may state them."""
        return all(
            low <= value <= high for value, (low, high) in zip(self[:3], SCALE_BOUNDS, strict=True)
        )


def word_scales(days: Iterable[DaySums]) -> WordScales | None:
    """Return the scales of the words with which the light of all days is met; None for few days.

    Parameters
    ----------
    days : sums of each local date.

    Returns
    -------
    Scales [1] and the days they come from.

    Notes
    -----
    Every day takes its class by its mean cover. A straight line through the days' indices against
    those of the table, weighted by the light of the clear sky, meets the light of all days; its end
    at the clear class and its slope are two of the scales. Where the cover hardly differs the slope
    is led by how places differ (a ridge: A. E. Hoerl, R. W. Kennard, Technometrics 12 (1970)
    55-67). The spread is that of the days about the line less what scaling leaves between places
    (`SkyClass.sd_scaled`), day by day in the measure of its class.
    """
    known = [
        day
        for day in days
        if day.cover_hours and day.clear_w_m2 > DARK_DAY_W_M2 and not isnan(day.clearness)
    ]
    if len(known) < LEAST_DAYS_FOR_SCALES:
        return None
    classes = [cover_class(min(day.cover_okta, 8.0)) for day in known]
    clear = COVER_CLASSES[0][1].index
    weight = np.array([day.clear_w_m2 for day in known])
    lost = clear - np.array([one.index for one in classes])
    index = np.array([day.ghi_w_m2 for day in known]) / weight
    weight /= weight.mean()
    mean_lost, mean_index = (float(np.mean(weight * of)) for of in (lost, index))
    apart = weight * (lost - mean_lost)
    noise = DAY_SD**2
    told = float(apart @ (mean_index - index)) / noise
    told += 1.0 / LOSSES_SD**2 + mean_lost * (clear - mean_index) / CLEAR_SD**2
    known_by = float(apart @ (lost - mean_lost)) / noise
    slope = told / (known_by + 1.0 / LOSSES_SD**2 + mean_lost**2 / CLEAR_SD**2)
    at_clear = mean_index + slope * mean_lost
    missed = index - (at_clear - slope * lost)
    within, left = (
        np.array([getattr(one, name) ** 2 for one in classes])
        for name in ("sd_within", "sd_scaled")
    )
    ratio = np.sum((missed**2 - left) / (within + left)) / np.sum(within / (within + left))
    spread = float(np.sqrt(max(ratio, SCALE_BOUNDS[2][0] ** 2)))
    return WordScales(at_clear / clear, slope, spread, len(known))
