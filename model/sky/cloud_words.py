"""The cloud of a sky in words, and the eighths each word stands for.

The classes are those of an aerodrome report (ICAO Annex 3, WMO-No. 306, FM 15): few is 1 or 2
eighths, scattered 3 or 4, broken 5 to 7, overcast 8. The words are those of a forecast.
"""

from __future__ import annotations

from typing import Literal, get_args

SkyWord = Literal["clear", "mostly clear", "mixed", "mostly cloudy", "overcast"]
SKY_WORDS: tuple[SkyWord, ...] = get_args(SkyWord)

_CLASSES: dict[SkyWord, tuple[float, ...]] = {
    "clear": (0.0,),
    "mostly clear": (1.0, 2.0),
    "mixed": (3.0, 4.0),
    "mostly cloudy": (5.0, 6.0, 7.0),
    "overcast": (8.0,),
}
_MIDDLE: dict[SkyWord, float] = {
    "clear": 0.0, "mostly clear": 2.0, "mixed": 4.0, "mostly cloudy": 6.0, "overcast": 8.0,
}  # fmt: skip


def sky_word(okta: float) -> SkyWord | None:
    """Return the word for so many eighths of cloud [okta]; None where they are no whole number."""
    return next((word for word, numbers in _CLASSES.items() if okta in numbers), None)


def okta_of(word: SkyWord) -> float:
    """Return the eighths of cloud that a word stands for when it is chosen [okta]."""
    return _MIDDLE[word]


def sky_range(word: SkyWord) -> tuple[int, int]:
    """Return the least and the most eighths of cloud that a word covers [okta]."""
    numbers = _CLASSES[word]
    return int(numbers[0]), int(numbers[-1])


def with_sky(cloud_okta: tuple[float, ...], word: SkyWord) -> tuple[float, ...]:
    """Return one number for all days; where every day has the word already, what stood there.

    Parameters
    ----------
    cloud_okta : one number, or one for each day [okta].
    """
    if all(sky_word(okta) == word for okta in cloud_okta):
        return cloud_okta
    return (okta_of(word),)


def with_sky_on(
    cloud_okta: tuple[float, ...], word: SkyWord, day: int, days: int
) -> tuple[float, ...]:
    """Return one number for each day, with another sky on one of them.

    A day that has the word already keeps its number.

    Parameters
    ----------
    cloud_okta : one number, or one for each day [okta].
    day : which day, counted from 0.
    days : how many there are.
    """
    every = cloud_okta if len(cloud_okta) == days else cloud_okta[:1] * days
    if sky_word(every[day]) == word:
        return cloud_okta
    return (*every[:day], okta_of(word), *every[day + 1 :])
