"""Reception reports as arrays: who heard how much of which power, on which evening and hour."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from model.reception.thresholds import Mode

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]


@dataclass(frozen=True, eq=False)
class Reports:
    """All rows of one table that can be used; arrays have shape (rows,).

    Attributes
    ----------
    snr_db : signal over the noise in 2500 Hz, nan where a path was tried and not heard [dB].
    power_w : transmit power, shape (rows,) [W].
    mode : place in ``modes``.
    band : place in ``bands``.
    evening : local day of the noon before, as an ordinal; a night is one evening.
    hour : local hour, 0 to 23.
    modes, bands : what was found in the table.
    whole_db : whether the decoder reports whole decibels only.
    timezone : whose clock evenings and hours are by.
    other_modes : rows of modes whose threshold is not known; they are left out.
    repeats : rows left out because an earlier one is the same in every cell.
    """

    snr_db: Floats
    power_w: Floats
    mode: Ints
    band: Ints
    evening: Ints
    hour: Ints
    modes: tuple[Mode, ...]
    bands: tuple[str, ...]
    whole_db: bool
    timezone: str
    other_modes: tuple[tuple[str, int], ...]
    repeats: int = 0

    @property
    def rows(self) -> int:
        """How many rows there are."""
        return int(self.snr_db.size)

    @property
    def lists_attempts(self) -> bool:
        """Whether the table also names paths that were tried and not heard."""
        return bool(np.isnan(self.snr_db).any())
