"""Reports of one band, hour, mode and power: what a share is counted over."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property

import numpy as np

from model.reception.censored_fit import Fit, fit
from model.reception.reports import Floats, Ints, Reports
from model.reception.thresholds import Mode

EVENINGS_NEEDED, REPORTS_NEEDED = 12, 100
# A table can name a new power in every row: the fullest cells are kept.
CELLS_LIMIT = 200
# Reports at the decoder's lowest value may lie anywhere below it: so many of them move no share by
# more than this.
UNDECIDED_LIMIT_SHARE = 0.03
# So near to the weakest signal that is read, fading lets some slots through and others not: paths
# are missing among the reports. An assumption of this program, from trials on made-up paths.
EDGE_DB = 1.0
_HIGHEST_CELL_DB = 60.0


@dataclass(frozen=True, eq=False)
class Cell:
    """Reports that differ in nothing but their path and evening.

    Attributes
    ----------
    band, hour : where and when, by the clock of the site; no band where the table names none.
    mode : what was heard.
    power_w : with what power [W].
    snr_db : what was reported, shape (reports,) [dB].
    evening : number of each report's evening, shape (reports,).
    missed : paths tried and not heard by evening, shape (evenings,).
    whole_db : whether reports are in whole decibels.
    """

    band: str
    hour: int
    mode: Mode
    power_w: float
    snr_db: Floats
    evening: Ints
    missed: Ints
    whole_db: bool

    @property
    def reports(self) -> int:
        """How many reports there are."""
        return int(self.snr_db.size)

    @property
    def evenings(self) -> int:
        """How many evenings have reports or attempts."""
        return int(self.missed.size)

    @property
    def lists_attempts(self) -> bool:
        """Whether paths that were tried and not heard are named as well."""
        return bool(self.missed.any())

    @property
    def missing_evenings(self) -> int:
        """How many evenings are wanting before anything is said."""
        return max(EVENINGS_NEEDED - self.evenings, 0)

    @property
    def missing_reports(self) -> int:
        """How many reports are wanting before anything is said."""
        return max(REPORTS_NEEDED - self.reports, 0)

    @property
    def is_enough(self) -> bool:
        """Whether anything can be said."""
        return not (self.missing_evenings or self.missing_reports)

    @cached_property
    def lowest_db(self) -> float:
        """The lowest value reported: the signal may be weaker [dB]."""
        return float(self.snr_db.min())

    @cached_property
    def at_lowest_share(self) -> float:
        """Share of reports that stand at the lowest value [1]."""
        return float((self.snr_db == self.lowest_db).mean())

    @cached_property
    def censored_below_db(self) -> float:
        """Below this a signal is only known to be weak: not heard, or at the lowest value [dB]."""
        if self.at_lowest_share <= UNDECIDED_LIMIT_SHARE:
            return self.mode.threshold_db
        return max(self.mode.threshold_db, self.lowest_db + self.half_step_db)

    @property
    def counted_from_db(self) -> float:
        """From here up no path is missing because a decoder read some of its slots alone [dB]."""
        return max(self.censored_below_db, self.mode.threshold_db + EDGE_DB)

    @property
    def half_step_db(self) -> float:
        """Half of what reports are rounded to [dB]."""
        return 0.5 if self.whole_db else 0.0

    @cached_property
    def hump(self) -> Fit:
        """One hump through all paths that were tried."""
        first_db = np.ceil(self.censored_below_db - 0.5) + 0.5
        edges_db = np.arange(first_db, _HIGHEST_CELL_DB, 1.0)
        # The last cells would be empty.
        edges_db = edges_db[: np.searchsorted(edges_db, self.snr_db.max() + 1.0) + 1]
        place = np.searchsorted(edges_db, self.snr_db)
        cells = edges_db.size + 1
        counts = np.bincount(self.evening * cells + place, minlength=self.evenings * cells)
        by_evening = counts.reshape(self.evenings, cells).astype(np.float64)
        by_evening[:, 0] += self.missed
        return fit(edges_db, by_evening)


def cells_of(reports: Reports) -> tuple[Cell, ...]:
    """Return the reports of each band, hour, mode and power, the fullest first."""
    powers, power = np.unique(reports.power_w, return_inverse=True)
    keys = np.stack([reports.band, reports.hour, reports.mode, power])
    order = np.lexsort(keys)
    kept = keys[:, order]
    cuts = np.flatnonzero((np.diff(kept, axis=1) != 0).any(axis=0)) + 1
    begins = np.concatenate([[0], cuts])
    sizes = np.diff(np.concatenate([begins, [order.size]]))
    fullest = np.argsort(-sizes, kind="stable")[:CELLS_LIMIT]
    found = []
    for place in fullest.tolist():
        rows = order[begins[place] : begins[place] + sizes[place]]
        cell = _cell(reports, rows, float(powers[power[rows[0]]]))
        if cell is not None:
            found.append(cell)
    return tuple(sorted(found, key=lambda cell: -cell.reports))


def _cell(reports: Reports, rows: Ints, power_w: float) -> Cell | None:
    snr_db = reports.snr_db[rows]
    is_heard = ~np.isnan(snr_db)
    if not is_heard.any():
        return None
    evenings, evening = np.unique(reports.evening[rows], return_inverse=True)
    missed = np.bincount(evening[~is_heard], minlength=evenings.size).astype(np.int64)
    first = rows[0]
    return Cell(
        band=reports.bands[reports.band[first]],
        hour=int(reports.hour[first]),
        mode=reports.modes[reports.mode[first]],
        power_w=power_w,
        snr_db=snr_db[is_heard],
        evening=evening[is_heard].astype(np.int64),
        missed=missed,
        whole_db=reports.whole_db,
    )
