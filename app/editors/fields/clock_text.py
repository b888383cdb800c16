"""A clock time as people write it."""

from __future__ import annotations

import re

from model.scenario.declare import MINUTES_A_DAY, clock_of

_CLOCK = re.compile(r"(\d{1,2})(?:[:.h]?(\d{2}))?")


def read_clock(text: str) -> str:
    """Return the time in a text as ``HH:MM``: 6, 6:30 and 0630 are understood.

    24:00 is the end of the day. Raises ValueError with a sentence that says what is right.
    """
    found = _CLOCK.fullmatch(text.strip())
    hours, minutes = (int(found[1]), int(found[2] or 0)) if found else (99, 0)
    if minutes > 59 or hours * 60 + minutes > MINUTES_A_DAY:
        raise ValueError("A time reads 18:30, from 00:00 to 24:00.")
    return clock_of(hours * 60 + minutes)
