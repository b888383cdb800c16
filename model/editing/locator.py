"""Maidenhead locators: a place as four, six or eight characters, and back.

The locator system as the VHF managers of IARU Region 1 adopted it at Maidenhead in 1980: fields of
20 by 10 degrees, A to R from 180 W and 90 S; in each ten by ten squares, in each of those 24 by 24
subsquares, A to X, in each of those ten by ten again; longitude first.
"""

from __future__ import annotations

import re

import maidenhead

USUAL_CHARACTERS = 6
_FINEST_PAIRS = 4
_LOCATOR = re.compile(r"[A-R]{2}[0-9]{2}(?:[A-X]{2}(?:[0-9]{2})?)?", re.IGNORECASE)
_SENTENCE = (
    "A locator reads JO50, JO50jq or JO50jq68: two letters A to R, two digits, two letters A to X,"
    " two digits."
)
# The pole and the last metres before the date line belong to the last square. [deg]
_LAST_LATITUDE_DEG, _TURN_DEG, _LAST_TURN_DEG = 89.9995, 360.0, 359.9995
# Finer than the finest square, a quarter of a minute, and what a field shows.
_DECIMALS = 4


def locator_of(
    latitude_deg: float, longitude_deg: float, characters: int = USUAL_CHARACTERS
) -> str:
    """Return the locator of a place.

    Parameters
    ----------
    latitude_deg, longitude_deg : of the place, north and east positive [deg].
    characters : 4, 6 or 8.
    """
    latitude = min(latitude_deg, _LAST_LATITUDE_DEG)
    turn = min((longitude_deg + _TURN_DEG / 2) % _TURN_DEG, _LAST_TURN_DEG)
    # The library rounds by half a hundredth of the square asked for: only its finest cuts well.
    finest = maidenhead.to_maiden(latitude, turn - _TURN_DEG / 2, _FINEST_PAIRS)
    return str(finest[:characters])


def read_locator(text: str) -> tuple[float, float]:
    """Return latitude and longitude of the middle of a locator's square [deg].

    Raises
    ------
    ValueError
        When the text is no locator; says in one sentence what one looks like.
    """
    locator = text.strip()
    # The library takes letters beyond the alphabet of its own, and digits of any script.
    if not locator.isascii() or not _LOCATOR.fullmatch(locator):
        raise ValueError(_SENTENCE)
    latitude, longitude = maidenhead.to_location(locator, center=True)
    return round(latitude, _DECIMALS), round(longitude, _DECIMALS)


def spelt(locator: str) -> str:
    """Return a locator as it is written: fields in capitals, subsquares in small letters."""
    text = locator.strip()
    return text[:4].upper() + text[4:].lower()
