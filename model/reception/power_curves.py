"""Shares against power: what is drawn, and what is read off at one power."""

from __future__ import annotations

import numpy as np

from model.reception.cells import Cell
from model.reception.requests import Answer, readable
from model.reception.sentences import share_words
from model.reception.thresholds import MORSE, VOICE, Mode
from model.support.figures import entered

# From a tenth of the least power of a kit to ten times the most, in steps of a third of a decibel:
# finer than any share is known.
STEPS_A_DECADE = 30
REACH = 10.0
NEAR = 0.5


def drawn_modes(cell: Cell) -> tuple[Mode, ...]:
    """Return the modes that are drawn: voice, Morse, and the one that was heard."""
    return (VOICE, MORSE, cell.mode)


def drawn_powers_w(cell: Cell, powers_w: tuple[float, ...]) -> tuple[float, ...]:
    """Return the powers that are drawn, with those of the kit and of the reports among them.

    Parameters
    ----------
    cell : the reports.
    powers_w : of the kit [W].

    Returns
    -------
    Powers, rising [W].
    """
    own_w = (*powers_w, cell.power_w)
    low_w, high_w = min(own_w) / REACH, max(own_w) * REACH
    count = round(np.log10(high_w / low_w) * STEPS_A_DECADE) + 1
    steps_w = np.geomspace(low_w, high_w, count)
    # No step stands so near to a power of the kit that nobody could point at it.
    apart = np.abs(np.log10(steps_w[:, None] / np.array(own_w))).min(axis=1)
    return tuple(sorted({*steps_w[apart > NEAR / STEPS_A_DECADE].tolist(), *own_w}))


def power_curve(cell: Cell, mode: Mode, powers_w: tuple[float, ...]) -> tuple[Answer, ...]:
    """Return the answer at each power.

    Parameters
    ----------
    cell : the reports.
    mode : what is to be read.
    powers_w : with which powers [W].
    """
    return tuple(readable(cell, mode, watts) for watts in powers_w)


def power_words(answers: tuple[Answer, ...]) -> str:
    """Return what is read with one power in each mode, such as "10 W: voice about 3 in 10"."""
    said = [
        f"{answer.mode.label} {share_words(answer.share) if answer.share else 'not known'}"
        for answer in answers
    ]
    return f"{entered(float(f'{answers[0].power_w:.2g}'), 'W')}: {'; '.join(said)}."
