"""Ridge and trees around the site: how high they stand, and how much sky they hide."""

from __future__ import annotations

from functools import lru_cache

import numpy as np

from model.sky.timeline import Floats

HorizonPoints = tuple[tuple[float, float], ...]


def horizon_height_deg(points: HorizonPoints, azimuth_deg: Floats) -> Floats:
    """Return the height of the horizon at each bearing, linear between the points.

    Parameters
    ----------
    points : pairs of true bearing 0..360 and height 0..90 [deg]; none is a level horizon. Two
        points at one bearing make an upright edge.
    azimuth_deg : bearings, any shape [deg].

    Returns
    -------
    Height above the level, of the shape of the bearings [deg].
    """
    if not points:
        return np.zeros_like(azimuth_deg)
    ordered = sorted(points, key=lambda point: point[0])
    bearing = [ordered[-1][0] - 360.0, *(point[0] for point in ordered), ordered[0][0] + 360.0]
    height = [ordered[-1][1], *(point[1] for point in ordered), ordered[0][1]]
    found: Floats = np.interp(np.mod(azimuth_deg, 360.0), bearing, height)
    return found


def visible_sky_share(points: HorizonPoints, tilt_deg: Floats, azimuth_deg: Floats) -> Floats:
    """Return how much of the uniform sky light on a plane the horizon leaves, 0..1.

    The plane's view of the sky above the horizon over its view above a level one, both weighted
    with the cosine of incidence: at each bearing the integral over the height is closed, over
    the bearings it is a sum in steps of one degree.

    Parameters
    ----------
    points : as in `horizon_height_deg`.
    tilt_deg, azimuth_deg : how the plane stands, shape (n,) both [deg].

    Returns
    -------
    Share left, 0..1, shape (n,) [1].
    """
    if not points or not tilt_deg.size:
        return np.ones_like(tilt_deg)
    # A plane stands still for many steps: one share for each stretch.
    turned = (np.diff(tilt_deg) != 0.0) | (np.diff(azimuth_deg) != 0.0)
    begins = np.append(0, np.flatnonzero(turned) + 1)
    ways = zip(tilt_deg[begins].tolist(), azimuth_deg[begins].tolist(), strict=True)
    shares = [_share(points, tilt, azimuth) for tilt, azimuth in ways]
    return np.repeat(shares, np.diff(np.append(begins, tilt_deg.size)))


@lru_cache(maxsize=4096)
def _share(points: HorizonPoints, tilt_deg: float, azimuth_deg: float) -> float:
    bearing = np.arange(0.5, 360.0)
    upright = np.cos(np.radians(tilt_deg))
    leaning = np.sin(np.radians(tilt_deg)) * np.cos(np.radians(bearing - azimuth_deg))
    behind = np.arctan2(-leaning, upright)
    above_level = np.maximum(behind, 0.0)
    above_horizon = np.maximum(np.radians(horizon_height_deg(points, bearing)), above_level)
    seen = _from_height_up(above_horizon, upright, leaning).sum()
    share = seen / _from_height_up(above_level, upright, leaning).sum()
    return float(np.clip(share, 0.0, 1.0))


def _from_height_up(height: Floats, upright: float, leaning: Floats) -> Floats:
    # Integral of (sin e * upright + cos e * leaning) * cos e from the height to the zenith.
    slanting = (np.pi / 2.0 - height) / 2.0 - np.sin(2.0 * height) / 4.0
    summed: Floats = upright * np.cos(height) ** 2 / 2.0 + leaning * slanting
    return summed
