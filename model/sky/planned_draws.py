"""Skies drawn about planned days: what a word or a cover leaves open."""

from __future__ import annotations

import numpy as np
from numpy.random import Generator
from numpy.typing import ArrayLike

from model.sky.clear_sky_index import HIGHEST_INDEX, LOWEST_INDEX, Floats
from model.sky.climate_days import mirrored_scores


def draw_planned(
    mean_index: ArrayLike,
    sd_within: ArrayLike,
    sd_between: ArrayLike,
    trips: int,
    chance: Generator,
    *,
    of_place: Floats | None = None,
) -> Floats:
    """Draw the clear-sky index of planned days.

    Parameters
    ----------
    mean_index : mean index of each day's word or cover, shape (days,) [1].
    sd_within : how days of the same word spread at one place, shape (days,) [1].
    sd_between : how the mean of the word differs from place to place, shape (days,) [1].
    trips : how many.
    chance : where the draws come from.
    of_place : score of each trip's place, shape (trips, 1) [1]; drawn where left out.

    Returns
    -------
    Clear-sky index within .05 and 1.22, shape (trips, days) [1].

    Notes
    -----
    A place that is darker than the table under one word is taken to be darker under all: one draw
    of the trip, in the proportion of each word's spread. Within a place the days err apart from
    each other. The bounds are those of
    the widest days that files hold, so that cutting there moves no mean of a word by .005.
    """
    mean, within, between = (
        np.asarray(given, np.float64) for given in (mean_index, sd_within, sd_between)
    )
    if of_place is None:
        of_place = mirrored_scores(chance, trips, 1)
    of_day = mirrored_scores(chance, trips, mean.size)
    index = mean + within * of_day + between * of_place
    return np.asarray(np.clip(index, LOWEST_INDEX, HIGHEST_INDEX), np.float64)
