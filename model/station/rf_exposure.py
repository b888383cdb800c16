"""How far people must stay from an antenna while a block is sent.

Far field with ground reflection and everything on the unfavourable side; indicative only. Make
the evaluation that local rules require, and never let anyone within reach of the wire.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from math import pi, sqrt
from typing import Literal

from model.scenario.scenario import Block
from model.scenario.station import Antenna, Station
from model.station.emission import HIGHEST_SLOT_SHARE, emission
from model.station.transmit_path import given_rf_w

Group = Literal["public", "operator"]
GROUPS: tuple[Group, ...] = ("public", "operator")
GROUP_WORDS = {"public": "the public", "operator": "operators"}

# Twice the field by reflection at the ground, of which 1.6 is found in practice: FCC OET Bulletin
# 65, equation 6, S = 2.56 EIRP / (4 pi R²).
GROUND_REFLECTION = 0.64
LIGHT_M_MHZ = 299.792458
# Gain of a half-wave dipole, where no antenna is described [dBi].
DIPOLE_DBI = 2.15

# From a frequency on: power density = factor * MHz ** exponent [W/m²].
Band = tuple[float, float, float]


@dataclass(frozen=True)
class ExposureLimits:
    """Power densities that may not be exceeded on the mean over a time.

    Attributes
    ----------
    name : the law, as it is to be cited.
    public, operator : bands, lowest first, as (from MHz, factor, exponent).
    highest_mhz : where the table ends [MHz].
    public_min, operator_min : averaging times [min].
    """

    name: str
    public: tuple[Band, ...]
    operator: tuple[Band, ...]
    highest_mhz: float
    public_min: float
    operator_min: float

    def density_w_m2(self, frequency_mhz: float, group: Group) -> float | None:
        """Return the limit at a frequency; None where the table says nothing [W/m²]."""
        bands = self.public if group == "public" else self.operator
        if not bands[0][0] <= frequency_mhz <= self.highest_mhz:
            return None
        _, factor, exponent = [band for band in bands if band[0] <= frequency_mhz][-1]
        return factor * float(frequency_mhz**exponent)

    def averaging_min(self, group: Group) -> float:
        """Return the time over which a group's exposure is averaged [min]."""
        return self.public_min if group == "public" else self.operator_min


UNITED_STATES = ExposureLimits(
    name="47 CFR 1.1310",
    public=((0.3, 1000.0, 0), (1.34, 1800.0, -2), (30.0, 2.0, 0), (300.0, 1 / 150, 1),
            (1500.0, 10.0, 0)),
    operator=((0.3, 1000.0, 0), (3.0, 9000.0, -2), (30.0, 10.0, 0), (300.0, 1 / 30, 1),
              (1500.0, 50.0, 0)),
    highest_mhz=100_000.0,
    public_min=30.0,
    operator_min=6.0,
)  # fmt: skip


@dataclass(frozen=True)
class Exposure:
    """The keep-out distance of one block for one group of people.

    Attributes
    ----------
    block_index : place of the block in the plan.
    group : who must keep away.
    frequency_mhz, rf_w : of the block, as this station sends it [MHz], [W].
    sending_share : of the averaging time, if all sending of the block came in one go [1].
    mean_eirp_w : radiated in the main direction, mean over the averaging time [W].
    limit_w_m2 : the limit [W/m²].
    near_field_m : up to here a far-field figure means nothing: a wavelength over 2 pi [m].
    distance_m : where the limit is met, at least ``near_field_m`` [m].
    is_near_field : whether the limit was met, by the far-field formula, nearer than that.
    """

    block_index: int
    group: Group
    frequency_mhz: float
    rf_w: float
    sending_share: float
    mean_eirp_w: float
    limit_w_m2: float
    near_field_m: float
    distance_m: float
    is_near_field: bool


def exposures(
    station: Station, plan: tuple[Block, ...], limits: ExposureLimits = UNITED_STATES
) -> tuple[Exposure, ...]:
    """Return the distances of every block that sends and names its frequency, for both groups."""
    return tuple(_exposures(station, plan, limits))


def _exposures(
    station: Station, plan: tuple[Block, ...], limits: ExposureLimits
) -> Iterator[Exposure]:
    for index, block in enumerate(plan):
        rf_w = given_rf_w(station, block)
        if rf_w <= 0 or block.frequency_mhz is None:
            continue
        duty = emission(block.activity, processed=block.processed).duty_factor
        for group in GROUPS:
            limit = limits.density_w_m2(block.frequency_mhz, group)
            if limit is None:
                continue
            share = sending_share(block, limits.averaging_min(group))
            eirp_w = rf_w * duty * share * 10 ** (net_gain_dbi(station) / 10)
            far_m = far_field_distance_m(eirp_w, limit)
            near_m = near_field_m(block.frequency_mhz)
            yield Exposure(
                index,
                group,
                block.frequency_mhz,
                rf_w,
                share,
                eirp_w,
                limit,
                near_m,
                max(far_m, near_m),
                far_m < near_m,
            )


def sending_share(block: Block, averaging_min: float) -> float:
    """Return the share of an averaging time spent sending, in the least favourable case.

    Whatever a block sends may come in one go; a slotted mode alone is bound to its slots.

    Parameters
    ----------
    block : of the plan.
    averaging_min : time over which exposure is averaged [min].

    Returns
    -------
    Share, 0..1 [1].
    """
    start, end = block.minutes
    sent_min = block.transmit_share * (end - start)
    most = HIGHEST_SLOT_SHARE if block.activity == "slots" else 1.0
    return min(sent_min / averaging_min, most)


def net_gain_dbi(station: Station) -> float:
    """Return gain less the losses of tuner and feed line.

    Parameters
    ----------
    station : its antenna; a dipole where none is given.

    Returns
    -------
    Gain over an isotropic radiator [dBi].
    """
    antenna = station.antenna or Antenna(gain_dbi=DIPOLE_DBI)
    tuner_db = station.tuner.loss_db if station.tuner else 0.0
    return antenna.gain_dbi - antenna.feed_loss_db - tuner_db


def far_field_distance_m(mean_eirp_w: float, limit_w_m2: float) -> float:
    """Return where ``0.64 * EIRP / (pi * R²)`` meets a limit; not to be shown by itself.

    Parameters
    ----------
    mean_eirp_w : mean power over the averaging time times gain [W].
    limit_w_m2 : power density that may not be exceeded [W/m²].

    Returns
    -------
    Distance from the antenna [m].
    """
    return sqrt(GROUND_REFLECTION * mean_eirp_w / (pi * limit_w_m2))


def near_field_m(frequency_mhz: float) -> float:
    """Return a wavelength over 2 pi: nearer, a far-field figure means nothing.

    Parameters
    ----------
    frequency_mhz : of what is sent [MHz].

    Returns
    -------
    Distance from the antenna [m].
    """
    return LIGHT_M_MHZ / frequency_mhz / (2 * pi)
