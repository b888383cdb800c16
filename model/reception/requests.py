"""What share of the paths would read a mode at a power, and what the reports cannot answer.

Who did not hear does not report: reports are **truncated**, and a share is one of the paths that
heard, not of all there are. For less power, and for a mode that needs a stronger signal, that is a
count: a path that was heard with 8 W at -5 dB would be at +5 dB with 80 W. For a weaker signal than
the mode that was heard can show, nothing follows from those who heard it: how many others would be
reached is not known, unless the attempts that failed are listed as well. Then the share is one of
all paths tried, and what lies below the decoder's reach follows from a fit.

Reports at the decoder's lowest value are **left-censored**: the signal was there or weaker. Within
a decibel of the weakest signal that is read some paths are missing among those that heard: there it
is known how many read it at least, and no more; of a fit to attempts that decibel is no part.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from model.reception.cells import UNDECIDED_LIMIT_SHARE, Cell
from model.reception.shares import (
    Share,
    counted_by_evening,
    counting_half_width_db,
    evening_share,
)
from model.reception.thresholds import Mode
from model.station.decibels import decibels
from model.support.figures import amount, entered

# A fit is not followed further below what was heard: an assumption of this program.
FIT_REACH_DB = 10.0


@dataclass(frozen=True)
class Answer:
    """Whether a mode at a power would be read.

    Attributes
    ----------
    mode : what is to be read.
    power_w : with which power [W].
    needed_db : ratio that the report itself must have for that [dB].
    share : of the paths that heard, or that were tried; None where that is not known.
    by_ear_share : the same for an operator who needs more, and one who needs less; None where the
        threshold is that of a decoder [1].
    refusal : why it is not known, in words.
    """

    mode: Mode
    power_w: float
    needed_db: float
    share: Share | None
    by_ear_share: tuple[float, float] | None
    refusal: str


def needed_db(cell: Cell, mode: Mode, power_w: float) -> float:
    """Return the ratio a report must have for a mode to be read at another power.

    Parameters
    ----------
    cell : the reports, with their power.
    mode : what is to be read.
    power_w : with which power [W].

    Returns
    -------
    The mode's threshold less what the power adds [dB].
    """
    return mode.threshold_db - decibels(power_w, cell.power_w)


def readable(cell: Cell, mode: Mode, power_w: float) -> Answer:
    """Return the share of paths that would read a mode at a power, or why it is not known.

    Parameters
    ----------
    cell : the reports.
    mode : what is to be read.
    power_w : with which power [W].
    """
    needed = needed_db(cell, mode, power_w)
    refusal = too_few(cell) or _unknown(cell, mode, power_w, needed)
    if refusal:
        return Answer(mode, power_w, needed, None, None, refusal)
    by_ear = None
    if mode.spread_db:
        worse, better = needed + mode.spread_db, needed - mode.spread_db
        if not _unknown(cell, mode, power_w, better):
            by_ear = _share(cell, worse).share, _share(cell, better).share
    return Answer(mode, power_w, needed, _share(cell, needed), by_ear, "")


def too_few(cell: Cell) -> str:
    """Return how much is missing before anything is said; nothing where there is enough."""
    if cell.is_enough:
        return ""
    missing = [
        _count(number, word)
        for number, word in (
            (cell.missing_evenings, "evening"), (cell.missing_reports, "report"),
        )
        if number
    ]  # fmt: skip
    verb = "is" if missing in (["1 evening"], ["1 report"]) else "are"
    return (
        f"{_count(cell.reports, 'report')} on {_count(cell.evenings, 'evening')}:"
        f" {' and '.join(missing)} {verb} missing before a share can be named"
    )


def _count(number: int, word: str) -> str:
    return f"{number} {word}" if number == 1 else f"{number} {word}s"


def _unknown(cell: Cell, mode: Mode, power_w: float, needed: float) -> str:
    """Return why a share below what was heard is not known; nothing where it is."""
    heard = f"{cell.mode.label} with {entered(cell.power_w, 'W')}"
    if cell.lists_attempts:
        if needed >= cell.counted_from_db:
            return ""
        if needed < cell.censored_below_db - FIT_REACH_DB:
            return (
                f"not known: {amount(cell.censored_below_db - needed, 'dB')} below what {heard}"
                f" shows, and the fit is not followed further than {amount(FIT_REACH_DB, 'dB')}"
            )
        if not cell.hump.is_one_hump:
            return (
                "not known: the reports do not follow the one hump that a fit below what was heard"
                " takes for granted"
            )
        return ""
    if needed < cell.mode.threshold_db:
        return (
            "not known: every path that heard would read it, and those that did not hear do not"
            " report"
        )
    is_decided = needed >= cell.lowest_db + cell.half_step_db
    if not is_decided and cell.at_lowest_share > UNDECIDED_LIMIT_SHARE:
        return (
            f"not known: reports at {amount(cell.lowest_db, 'dB')}, the decoder's lowest value, may"
            f" be weaker than they say, and {mode.label} with {entered(power_w, 'W')} turns on them"
        )
    return ""


def _share(cell: Cell, needed: float) -> Share:
    if needed >= cell.counted_from_db:
        return _counted(cell, needed)
    if cell.lists_attempts:
        return cell.hump.above(needed)
    return Share(_counted(cell, needed).share, _counted(cell, cell.counted_from_db).low, 1.0)


def _counted(cell: Cell, needed: float) -> Share:
    half_width_db = counting_half_width_db(
        cell.snr_db, needed, cell.censored_below_db, cell.half_step_db
    )
    counted = counted_by_evening(cell.snr_db, cell.evening, cell.evenings, needed, half_width_db)
    heard = np.bincount(cell.evening, minlength=cell.evenings).astype(np.float64)
    of = heard + cell.missed
    return evening_share(counted, of)
