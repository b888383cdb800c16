"""Changes of the horizon: the height at a bearing drawn by hand, or all of it typed as pairs."""

from __future__ import annotations

import re

import numpy as np

from model.scenario.scenario import HORIZON_LIMIT
from model.sky.horizon import HorizonPoints, horizon_height_deg

# How far to each side a change at one bearing reaches. [deg]
REACH_DEG = 5.0
# A comma between two digits is a decimal one.
_BETWEEN_PAIRS = re.compile(r"[;\n]|,(?!\d)|(?<!\d),")
_NUMBER = re.compile(r"\d{1,17}(\.\d{0,17})?")
_EXAMPLE = "write pairs of azimuth (true) and elevation in degrees, such as 0 3, 60 6, 90 9"


def with_height(points: HorizonPoints, azimuth_deg: float, height_deg: float) -> HorizonPoints:
    """Return a horizon of another height at one bearing, unchanged beyond 5 degrees from it.

    Raises
    ------
    ValueError
        When the horizon already has so many points that none can be added.
    """
    bearing = azimuth_deg % 360.0
    sides = ((bearing - REACH_DEG) % 360.0, (bearing + REACH_DEG) % 360.0)
    before = horizon_height_deg(points, np.array(sides))
    kept = [point for point in points if _apart_deg(point[0], bearing) >= REACH_DEG]
    standing = {point[0] % 360.0 for point in kept}
    kept += [
        (side, float(height))
        for side, height in zip(sides, before, strict=True)
        if side not in standing
    ]
    changed = _simple((*kept, (bearing, min(max(height_deg, 0.0), 90.0))))
    if len(changed) > HORIZON_LIMIT:
        raise ValueError(f"a horizon holds at most {HORIZON_LIMIT} points")
    return changed


def _apart_deg(first: float, second: float) -> float:
    return abs((first - second + 180.0) % 360.0 - 180.0)


def _simple(points: HorizonPoints) -> HorizonPoints:
    """Return the points in order of bearing, without those that lie on the line between others."""
    ordered = sorted(points, key=lambda point: point[0])
    if all(height == 0.0 for _, height in ordered):
        return ()
    index = 0
    while len(ordered) > 2 and index < len(ordered):
        before, here, after = (ordered[(index + step) % len(ordered)] for step in (-1, 0, 1))
        span = (after[0] - before[0]) % 360.0
        part = (here[0] - before[0]) % 360.0
        if 0.0 < part < span < 180.0:
            line = before[1] + (after[1] - before[1]) * part / span
            if abs(line - here[1]) < 1e-9:
                del ordered[index]
                continue
        index += 1
    return tuple(ordered)


def read_horizon(text: str) -> HorizonPoints:
    """Return the horizon that a text of pairs means, such as ``0 3, 60 6, 90 9``; empty is level.

    A pair is a bearing and a height with a blank between [deg]; commas, semicolons or new lines
    part the pairs. A comma between two digits is a decimal one.

    Raises
    ------
    ValueError
        One sentence that says which pair is wrong and what would be right.
    """
    pieces = [piece.strip() for piece in _BETWEEN_PAIRS.split(text)]
    points = tuple(_pair_of(piece) for piece in pieces if piece)
    if len(points) > HORIZON_LIMIT:
        raise ValueError(f"A horizon holds at most {HORIZON_LIMIT} pairs, got {len(points)}.")
    return points


def horizon_text(points: HorizonPoints) -> str:
    """Return a horizon as the text that `read_horizon` reads back to the bit."""
    return ", ".join(f"{_plain(bearing)} {_plain(height)}" for bearing, height in points)


def _pair_of(piece: str) -> tuple[float, float]:
    words = piece.replace(",", ".").replace("°", " ").split()
    if len(words) != 2 or not all(_NUMBER.fullmatch(word) for word in words):
        raise ValueError(f'"{piece[:24]}" is no pair of numbers: {_EXAMPLE}.')
    bearing, height = (float(word) for word in words)
    for name, number, most in (("azimuth", bearing, 360), ("elevation", height, 90)):
        if number > most:
            raise ValueError(f'"{piece[:24]}": the {name} must lie between 0 and {most} degrees.')
    return bearing, height


def _plain(number: float) -> str:
    return str(int(number)) if number == int(number) else repr(number)
