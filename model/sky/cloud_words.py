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
    sd_scaled : what is left of it once a climate has scaled the words to the place [1].
    """

    index: float
    sd_within: float
    sd_between: float
    sd_scaled: float

    @property
    def sd(self) -> float:
        """Standard deviation of one such day anywhere [1]."""
        return sqrt(self.sd_within**2 + self.sd_between**2)


# Mean cover of the lit hours from so many eighths on [okta]; the last is overcast. How clear days
# differ between places is the square root of the mean square about the word over thirteen yearly
# files with cloud cover, and so is what scaling leaves of any class; without any one of them it is
# the same to .01.
COVER_CLASSES: tuple[tuple[float, SkyClass], ...] = (
    (0.0, SkyClass(1.03, 0.04, 0.05, 0.05)),
    (1.0, SkyClass(0.95, 0.06, 0.05, 0.03)),
    (3.0, SkyClass(0.84, 0.09, 0.09, 0.03)),
    (5.0, SkyClass(0.69, 0.14, 0.09, 0.02)),
    (7.0, SkyClass(0.55, 0.15, 0.09, 0.04)),
    (7.8, SkyClass(0.40, 0.11, 0.08, 0.03)),
)
# Hours of rain from so many on [h]. Between places it is taken as of overcast: an assumption.
RAIN_CLASSES: tuple[tuple[float, SkyClass], ...] = (
    (1.0, SkyClass(0.54, 0.10, 0.08, 0.03)),
    (3.0, SkyClass(0.46, 0.10, 0.08, 0.03)),
    (6.0, SkyClass(0.33, 0.10, 0.08, 0.03)),
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

    Parameters
    ----------
    sky : a word, or the index itself [1].
    climate : of the place, where there is one; it scales what a word stands for.

    Returns
    -------
    Clear-sky index of the day [1].
    """
    return at_the_place(WORD_CLASSES[sky].index, climate) if isinstance(sky, str) else sky


def at_the_place(index: float, climate: Climate | None) -> float:
    """Return the index of a class of days with the scales of a climate.

    A clear day is brighter or duller as the air of the place is cleaner or hazier; what clouds take
    is counted from there.

    Parameters
    ----------
    index : of the class in the table [1].
    climate : ``clear_scale`` is taken of clear days, ``loss_scale`` of what the others lack of
        them.

    Returns
    -------
    Clear-sky index of such days at the place [1].
    """
    if climate is None:
        return index
    clear = COVER_CLASSES[0][1].index
    found = climate.clear_scale * clear - climate.loss_scale * (clear - index)
    # Digits of the table that no scale touches stay as they are.
    return min(max(round(found, 6), DARKEST_INDEX), INDEX_LIMIT)


def is_scaled(climate: Climate | None) -> bool:
    """Whether a climate's cloud cover has told what words stand for at the place."""
    if climate is None:
        return False
    return (climate.clear_scale, climate.loss_scale, climate.spread_scale) != (1.0, 1.0, 1.0)


def spreads_of(sky: SkyWord | float, climate: Climate | None = None) -> tuple[float, float]:
    """Return how far days of a sky may be off, within a place and between places.

    Parameters
    ----------
    sky : a word, or the index itself [1]; what is typed is not scaled, and spreads like the class
        of days nearest to it.
    climate : of the place, where there is one.

    Returns
    -------
    Standard deviations within and between places [1].
    """
    if not isinstance(sky, str):
        near = class_near(sky)
        return near.sd_within, near.sd_between
    of_word = WORD_CLASSES[sky]
    if climate is None or not is_scaled(climate):
        return of_word.sd_within, of_word.sd_between
    return climate.spread_scale * of_word.sd_within, of_word.sd_scaled


def class_near(index: float) -> SkyClass:
    """Return the class of days nearest to an index: how far a typed index may be off.

    Parameters
    ----------
    index : clear-sky index [1].

    Returns
    -------
    Mean index and spreads of such days.
    """
    return min((one for _, one in COVER_CLASSES), key=lambda one: abs(one.index - index))


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
            return round(at_the_place(index, climate), 2)
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
