"""How far up a listed set of attempts reaches: a normal law in decibels, censored from below.

Of a path that was tried and not heard it is known only that it lay below what the decoder can
read. Where attempts are listed, mean and standard deviation of all paths follow by maximum
likelihood over the whole-decibel cells and that one open cell (J. Tobin, "Estimation of
relationships for limited dependent variables", Econometrica 26 (1958) 24-36; C. R. Rao, Linear
Statistical Inference and Its Applications, section 5g, the method of scoring). The interval leaves
out one evening at a time (the jackknife of B. Efron and R. Tibshirani, An Introduction to the
Bootstrap, chapter 11) and takes the differences of neighbouring evenings, as for a count. Sources
from memory; the tests hold the fit against another library.
"""

from __future__ import annotations

from dataclasses import dataclass
from math import erf, sqrt

import numpy as np

from model.reception.reports import Floats
from model.reception.shares import Share, difference_t, difference_variance

_ROUNDS = 60
_CLOSE = 1e-9
_LEAST_SHARE = 1e-12
# One hump is believed while no cell's sum is further than this from what was counted. From trials
# on made-up paths with one and two humps; an assumption of this program.
FITS_WITHIN_SHARE = 0.06


@dataclass(frozen=True, eq=False)
class Fit:
    """One hump through all paths that were tried.

    Attributes
    ----------
    mean_db, sd_db : of all paths; one value for all evenings, then one without each,
        shape (1 + evenings,) [dB].
    misfit_share : largest distance between counted and fitted sums above the lowest cell [1].
    evenings : how many there are.
    """

    mean_db: Floats
    sd_db: Floats
    misfit_share: float
    evenings: int

    @property
    def is_one_hump(self) -> bool:
        """Whether one hump describes what was heard."""
        return self.misfit_share <= FITS_WITHIN_SHARE

    def above(self, needed_db: float) -> Share:
        """Return the share of all paths that reach a ratio, with its interval.

        Parameters
        ----------
        needed_db : lowest ratio that counts [dB].
        """
        # On the scale of the normal law, where errors of mean and deviation are nearly even.
        z = (needed_db - self.mean_db) / self.sd_db
        # What leaving one evening out moves is that evening's own value, as many times smaller.
        own = (self.evenings - 1) * z[1:]
        half = difference_t(self.evenings) * sqrt(difference_variance(own) / self.evenings)
        share, low, high = (1.0 - _below(np.array([z[0], z[0] + half, z[0] - half]))).tolist()
        return Share(share, low, high)


def fit(edges_db: Floats, counts: Floats) -> Fit:
    """Fit one hump to cells by evening.

    Parameters
    ----------
    edges_db : upper edges of all cells but the last, the first of which holds what lies below the
        censoring, shape (cells - 1,) [dB].
    counts : paths of each evening in each cell, shape (evenings, cells) [1].

    Returns
    -------
    The fit over all evenings and without each of them; mean and deviation [dB].
    """
    whole = counts.sum(axis=0)
    sets = np.vstack([whole, whole - counts])
    mean_db, sd_db = _begun(edges_db, sets)
    for _ in range(_ROUNDS):
        step = _step(edges_db, sets, mean_db, sd_db)
        mean_db, sd_db = mean_db + step[0], sd_db * np.exp(step[1])
        if np.abs(step).max() < _CLOSE:
            break
    fitted = _below((edges_db - mean_db[0]) / sd_db[0])
    seen = np.cumsum(whole)[:-1] / whole.sum()
    misfit = float(np.abs(fitted - seen).max())
    return Fit(mean_db, sd_db, misfit, counts.shape[0])


def _begun(edges_db: Floats, sets: Floats) -> tuple[Floats, Floats]:
    """Return mean and deviation of the cells' middles, to begin with."""
    middles = np.concatenate([edges_db[:1] - 3.0, (edges_db[1:] + edges_db[:-1]) / 2.0,
                              edges_db[-1:] + 0.5])  # fmt: skip
    total = sets.sum(axis=1)
    mean = sets @ middles / total
    spread = np.sqrt(np.maximum(sets @ middles**2 / total - mean**2, 1.0))
    return mean, spread


def _step(edges_db: Floats, sets: Floats, mean_db: Floats, sd_db: Floats) -> Floats:
    """Return one step of scoring for mean and logarithm of the deviation, shape (2, sets)."""
    z = (edges_db[None, :] - mean_db[:, None]) / sd_db[:, None]
    density = np.exp(-z * z / 2.0) / sqrt(2.0 * np.pi)
    share = np.maximum(_cells(_below(z), 0.0, 1.0), _LEAST_SHARE)
    by_mean = -_cells(density, 0.0, 0.0) / sd_db[:, None]
    by_log = -_cells(z * density, 0.0, 0.0)
    paths = sets.sum(axis=1)
    score = np.stack([(sets * by / share).sum(axis=1) for by in (by_mean, by_log)])
    one, both, other = (
        paths * (a * b / share).sum(axis=1)
        for a, b in ((by_mean, by_mean), (by_mean, by_log), (by_log, by_log))
    )
    scale = one * other - both * both
    step = np.stack(
        [(other * score[0] - both * score[1]) / scale, (one * score[1] - both * score[0]) / scale]
    )
    # A first step from far off would overshoot.
    limit = np.stack([sd_db, np.full_like(sd_db, 0.5)])
    clipped: Floats = np.clip(step, -limit, limit)
    return clipped


def _cells(at_edges: Floats, first: float, last: float) -> Floats:
    """Return differences from edge to edge, with what lies at both ends; shape (sets, cells)."""
    ends = np.full((at_edges.shape[0], 1), 1.0)
    cells: Floats = np.diff(np.hstack([ends * first, at_edges, ends * last]), axis=1)
    return cells


def _below(z: Floats) -> Floats:
    """Return the standard normal share below each value, of the same shape."""
    flat = [0.5 * (1.0 + erf(each / sqrt(2.0))) for each in z.ravel().tolist()]
    return np.array(flat).reshape(z.shape)
