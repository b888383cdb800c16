"""What the words for a day's sky stand for: its light over that of a clear day, and the spread.

One table for all of the program. The index of a day is its global light on the level over that
under the clear sky; a word names a class of days, so it stands for a mean with two spreads:
*within* a place, from one such day to another, and *between* places, where days of one name are
brighter or duller all year. Means and spreads are fits of this project to five years of weather
files with hourly cover and light, and one month of measured minutes, by the mean cover of the lit
hours; so are the means of rainy days by their hours of rain. Eighths of cloud that are a day's
mean go through the same table, and never through a formula made for a moment.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from math import sqrt
from typing import TYPE_CHECKING

from model.scenario.daily import INDEX_LIMIT, SKY_WORDS, SkyWord

if TYPE_CHECKING:
    from model.scenario.climate import Climate
    from model.scenario.scenario import Scenario

# Lowest that scaled losses may leave of a day: the darkest days of the files had a tenth.
DARKEST_INDEX = 0.05


@dataclass(frozen=True)
class SkyClass:
    """A class of days.

    Attributes
    ----------
    index : mean clear-sky index of such days [1].
    sd_within : standard deviation of such days at one place [1].
    sd_between : standard deviation of the means of places [1].
    """

    index: float
    sd_within: float
    sd_between: float

    @property
    def sd(self) -> float:
        """Standard deviation of one such day anywhere [1]."""
        return sqrt(self.sd_within**2 + self.sd_between**2)


# Mean cover of the lit hours from so many eighths on [okta]; the last is overcast.
COVER_CLASSES: tuple[tuple[float, SkyClass], ...] = (
    (0.0, SkyClass(1.03, 0.04, 0.03)),
    (1.0, SkyClass(0.95, 0.06, 0.05)),
    (3.0, SkyClass(0.84, 0.09, 0.09)),
    (5.0, SkyClass(0.69, 0.14, 0.09)),
    (7.0, SkyClass(0.55, 0.15, 0.09)),
    (7.8, SkyClass(0.40, 0.11, 0.08)),
)
# Hours of rain from so many on [h]. Between places it is taken as of overcast: an assumption.
RAIN_CLASSES: tuple[tuple[float, SkyClass], ...] = (
    (1.0, SkyClass(0.54, 0.10, 0.08)),
    (3.0, SkyClass(0.46, 0.10, 0.08)),
    (6.0, SkyClass(0.33, 0.10, 0.08)),
)
# One raining hour, median and the value that one in ten is below [1].
RAINING_HOUR_INDEX, RAINING_HOUR_LOW_INDEX = 0.29, 0.21
WORD_CLASSES: dict[SkyWord, SkyClass] = {
    "clear": COVER_CLASSES[0][1],
    "mostly clear": COVER_CLASSES[1][1],
    "mixed": COVER_CLASSES[2][1],
    "mostly cloudy": COVER_CLASSES[3][1],
    "overcast": COVER_CLASSES[5][1],
    "rain": RAIN_CLASSES[2][1],
}
# What is left of the spread between places once a climate has scaled the losses of light, which
# takes no part in a clear day [1]: the square root of the mean square over thirteen yearly files
# with cloud cover, to a hundredth. Without any one of them it is the same to .01. Rain is taken as
# overcast.
SCALED_SD_BETWEEN: dict[SkyWord, float] = {
    "clear": 0.05, "mostly clear": 0.04, "mixed": 0.04, "mostly cloudy": 0.05, "overcast": 0.09,
    "rain": 0.09,
}  # fmt: skip
_EIGHTHS = re.compile(r"([0-9]+(?:[.,][0-9]+)?)\s*/\s*8")


def cover_class(okta: float) -> SkyClass:
    """Return the class of a day by its mean cover.

    Parameters
    ----------
    okta : mean cover of the day, from 0 to 8 [okta].

    Returns
    -------
    Mean index and spreads of such days.

    Raises
    ------
    ValueError
        When the cover is outside 0 to 8.
    """
    if not 0 <= okta <= 8:
        raise ValueError(f"must be from 0 to 8 eighths, got {okta:g}")
    return next(found for least, found in reversed(COVER_CLASSES) if okta >= least)


def rain_class(hours: float) -> SkyClass:
    """Return the class of a day by its hours of rain.

    Parameters
    ----------
    hours : hours of rain between sunrise and sunset, at least 1 [h].

    Returns
    -------
    Mean index and spreads of such days.

    Raises
    ------
    ValueError
        When it rains for less than an hour: that says little of the day's light.
    """
    if hours < 1:
        raise ValueError(f"must be at least 1 hour of rain, got {hours:g}")
    return next(found for least, found in reversed(RAIN_CLASSES) if hours >= least)


def index_of(sky: SkyWord | float, climate: Climate | None = None) -> float:
    """Return the clear-sky index of a day's sky.

    The loss of light of a word is scaled by the climate's ``loss_scale``; a day brighter than the
    clear sky has no loss.

    Parameters
    ----------
    sky : a word, or the index itself [1].
    climate : of the place, where there is one.

    Returns
    -------
    Clear-sky index of the day [1].
    """
    return _at_the_place(WORD_CLASSES[sky].index, climate) if isinstance(sky, str) else sky


def _at_the_place(index: float, climate: Climate | None) -> float:
    """Return the index of a class with its losses scaled as the climate has them."""
    if climate is None or index >= 1.0:
        return index
    return max(1.0 - climate.loss_scale * (1.0 - index), DARKEST_INDEX)


def sky_moved(scenario: Scenario, by: float) -> tuple[float, ...]:
    """Return the indices of a scenario's skies, each so much brighter, within their bounds.

    Parameters
    ----------
    scenario : the skies as they are planned.
    by : what is added to each index [1].

    Returns
    -------
    Clear-sky index of each sky of the day [1].
    """
    return tuple(
        min(max(index_of(sky, scenario.climate) + by, 0.0), INDEX_LIMIT) for sky in scenario.day.sky
    )


def sky_text(sky: SkyWord | float, climate: Climate | None = None) -> str:
    """Return a sky as it is read: its word with the index it counts as, or the index alone.

    Parameters
    ----------
    sky : a word, or the index itself [1].
    climate : of the place, where there is one.

    Returns
    -------
    The text, without a unit.
    """
    index = f"{index_of(sky, climate):.2f}"
    return f"{sky} ({index} of clear)" if isinstance(sky, str) else f"{index} of clear"


def sky_from_text(text: str, climate: Climate | None = None) -> SkyWord | float | None:
    """Return the sky that somebody typed.

    Parameters
    ----------
    text : a word, an index, or eighths such as ``5/8``.
    climate : of the place, where there is one.

    Returns
    -------
    The word, or the index [1]; eighths are a day's mean cover and become the index of their class,
    its losses scaled by the climate like those of a word. None where it is none of these.
    """
    plain = " ".join(text.split()).lower()
    word = next((word for word in SKY_WORDS if word == plain), None)
    if word is not None:
        return word
    eighths = _EIGHTHS.fullmatch(plain)
    try:
        if eighths:
            index = cover_class(float(eighths[1].replace(",", "."))).index
            return round(_at_the_place(index, climate), 2)
        index = float(plain.replace(",", "."))
    except ValueError:
        return None
    return index if 0 <= index <= INDEX_LIMIT else None


def with_sky(
    skies: tuple[SkyWord | float, ...], sky: SkyWord | float, at: int, dates: int
) -> tuple[SkyWord | float, ...]:
    """Return the skies with another one on one date, as short as they can be said.

    Parameters
    ----------
    skies : one for each date, the last of which goes on: a word, or an index [1].
    sky : the other one: a word, or an index [1].
    at : which date, from 0.
    dates : how many dates the run touches.

    Returns
    -------
    Words or indices [1], one for each date, the last of which goes on.
    """
    every = skies + skies[-1:] * (dates - len(skies))
    return _shortest((*every[:at], sky, *every[at + 1 :]))


def _shortest(skies: tuple[SkyWord | float, ...]) -> tuple[SkyWord | float, ...]:
    """Leave out what the last one says already."""
    end = len(skies)
    while end > 1 and skies[end - 2] == skies[-1]:
        end -= 1
    return skies[:end]
