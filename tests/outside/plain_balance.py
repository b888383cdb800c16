"""A balance of light and charge written apart from the program, as a check of its odds.

It reads the hours of a weather file by itself, finds the sun by the series of J. W. Spencer
("Fourier series representation of the position of the sun", Search 2 (1971) 172), lays the file's
own beam and diffuse light on the panel (an even sky or one that is brighter about the sun, as in J.
A. Duffie, W. A. Beckman, Solar Engineering of Thermal Processes, sections 2.15 and 2.16; incidence
loss of ASHRAE 93 with .05; all from memory), and counts ampere-hours in one plain loop. It knows
nothing of clearness, of words or of any room of the program.
"""

from __future__ import annotations

from dataclasses import dataclass
from math import cos, pi, sin
from pathlib import Path

import numpy as np

PARTS_AN_HOUR = 6
# Volts of a lithium iron phosphate battery of four cells in use, and warming of a panel's cells
# [degC for each W/m2]: common practice, no source.
BUS_V, WARMING = 13.2, 0.03
GROUND = 0.2
SUN_W_M2 = 1367.0


@dataclass(frozen=True)
class Hours:
    """A year of hours, each the mean of the hour that ends at its label in standard time."""

    latitude_deg: float
    longitude_deg: float
    zone_h: float
    global_w_m2: list[float]
    diffuse_w_m2: list[float]
    air_c: list[float]


@dataclass(frozen=True)
class Kit:
    """A radio that listens, its battery and its panel towards the equator."""

    load_a: float
    battery_ah: float
    reserve_ah: float
    panel_w: float
    tilt_deg: float
    other_losses: float
    power_per_c: float
    controller: float
    charge_efficiency: float


def hours_of(path: Path) -> Hours:
    """Read TMY2, TMY3 or EPW by the places of their columns."""
    lines = path.read_text(encoding="latin-1").splitlines()
    if path.suffix.lower() == ".tm2":
        # Columns of table 3-2 of the manual (Marion and Urban 1995).
        head = lines[0].split()
        ns, lat_d, lat_m, ew, lon_d, lon_m = head[-7:-1]
        rows = [(float(x[17:21]), float(x[29:33]), float(x[67:71]) / 10.0) for x in lines[1:]]
        latitude = (1 if ns == "N" else -1) * (int(lat_d) + int(lat_m) / 60)
        longitude = (1 if ew == "E" else -1) * (int(lon_d) + int(lon_m) / 60)
        zone = float(head[-8])
    elif path.suffix.lower() == ".epw":
        place = lines[0].split(",")
        latitude, longitude, zone = (float(place[at]) for at in (6, 7, 8))
        cells = [line.split(",") for line in lines[8:]]
        rows = [(float(x[13]), float(x[15]), float(x[6])) for x in cells]
    else:
        place = lines[0].split(",")
        zone, latitude, longitude = (float(place[at]) for at in (3, 4, 5))
        cells = [line.split(",") for line in lines[2:]]
        rows = [(float(x[4]), float(x[10]), float(x[31])) for x in cells]
    whole, diffuse, air = (list(column) for column in zip(*rows[:8760], strict=True))
    return Hours(latitude, longitude, zone, whole, diffuse, air)


def panel_amperes(hours: Hours, kit: Kit, *, even_sky: bool = True) -> np.ndarray:
    """Return what the controller gives the bus in each hour of the year, shape (365, 24). [A]

    Parameters
    ----------
    even_sky : the diffuse light comes from all of the sky alike; else a part of it, the beam's
        share of the light above the air, comes from about the sun (J. E. Hay, J. A. Davies 1980).
    """
    latitude, tilt = hours.latitude_deg * pi / 180, kit.tilt_deg * pi / 180
    # A panel leaned towards the equator is level at another latitude.
    leaned = latitude - tilt if latitude >= 0 else latitude + tilt
    sky, ground = (1 + cos(tilt)) / 2, GROUND * (1 - cos(tilt)) / 2
    amperes = []
    for hour in range(8760):
        heights, incidences = [], []
        for part in range(PARTS_AN_HOUR):
            clock = hour % 24 + (part + 0.5) / PARTS_AN_HOUR
            day = 2 * pi * (hour // 24 + (clock - 12) / 24) / 365
            declination = (
                0.006918 - 0.399912 * cos(day) + 0.070257 * sin(day) - 0.006758 * cos(2 * day)
                + 0.000907 * sin(2 * day) - 0.002697 * cos(3 * day) + 0.00148 * sin(3 * day)
            )  # fmt: skip
            equation = 229.18 * (
                0.000075 + 0.001868 * cos(day) - 0.032077 * sin(day)
                - 0.014615 * cos(2 * day) - 0.040849 * sin(2 * day)
            )  # fmt: skip
            solar = clock - hours.zone_h + hours.longitude_deg / 15 + equation / 60
            turn = (solar - 12) * pi / 12
            along, across = sin(declination), cos(declination) * cos(turn)
            heights.append(max(sin(latitude) * along + cos(latitude) * across, 0.0))
            incidences.append(max(sin(leaned) * along + cos(leaned) * across, 0.0))
        amperes.append(_hour_a(hours, kit, hour, heights, incidences, sky, ground, even_sky))
    return np.array(amperes).reshape(365, 24)


def _hour_a(
    hours: Hours, kit: Kit, hour: int, heights: list[float], incidences: list[float],
    sky: float, ground: float, even_sky: bool,
) -> float:  # fmt: skip
    whole, diffuse = hours.global_w_m2[hour], hours.diffuse_w_m2[hour]
    up = [height for height in heights if height > 0]
    beam = 0.0
    if up and sum(up) / PARTS_AN_HOUR > 0.01:
        beam = max(whole - diffuse, 0.0) / (sum(up) / PARTS_AN_HOUR)
        if not even_sky:
            above = SUN_W_M2 * (1 + 0.033 * cos(2 * pi * (hour // 24 + 1) / 365))
            share = min(beam / above, 1.0)
            beam += share * diffuse / (sum(up) / PARTS_AN_HOUR)
            diffuse *= 1 - share
    entered = 0.0
    for height, incidence in zip(heights, incidences, strict=True):
        if height > 0 and incidence > 0.06:
            entered += beam * incidence * max(1 - 0.05 * (1 / incidence - 1), 0) / PARTS_AN_HOUR
    entered += 0.95 * (diffuse * sky + whole * ground)
    warm = hours.air_c[hour] + WARMING * entered
    watts = kit.panel_w * entered / 1000 * (1 + kit.power_per_c * (warm - 25))
    return watts * (1 - kit.other_losses) * kit.controller / BUS_V


def lowest_and_end(
    amperes: np.ndarray, kit: Kit, first_day: int, start_hour: int, days: int, start_ah: float
) -> tuple[float, float]:
    """Return the least charge of one trip and that at its end. [Ah]"""
    stored, least = start_ah, start_ah
    for hour in range(24 * days):
        at = 24 * first_day + start_hour + hour
        net = float(amperes[at // 24 % 365, at % 24]) - kit.load_a
        stored += net * (kit.charge_efficiency if net > 0 else 1.0)
        stored = min(max(stored, 0.0), kit.battery_ah)
        least = min(least, stored)
    return least, stored


def share_that_keeps(
    amperes: np.ndarray, kit: Kit, middle_day: int, start_hour: int, days: int
) -> float:
    """Return the share of trips that keep the reserve, of those about a day of the year [1]."""
    starts = range(middle_day - 15, middle_day + 16)
    kept = [
        lowest_and_end(amperes, kit, start % 365, start_hour, days, kit.battery_ah)[0]
        >= kit.reserve_ah
        for start in starts
    ]
    return sum(kept) / len(kept)
