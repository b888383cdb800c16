"""How the window and the printed set say who can power whom."""

from __future__ import annotations

from model.group.group_words import hours_text
from model.group.power_matrix import ALONE_DAYS, PowerCell
from model.results.wording import capital
from model.support.figures import NBSP, duration

OWN = "own"
MOST_H = 24.0 * ALONE_DAYS[-1]
# What a reason is called where there is room for one word.
REASONS = {
    "no radio": "no radio", "no battery": "none", "volts": "volts", "profile": "charge",
    "plug": "plug", "polarity": "polarity", "fuse": "fuse", "current": "current", "run": "volts",
}  # fmt: skip


def cell_text(cell: PowerCell) -> str:
    """Return a cell of the matrix: hours, or the first reason why not."""
    if not cell.can_power:
        return f"✕{NBSP}{REASONS[cell.refusals[0].reason]}"
    return f"{hours_text(cell.hours_h)}{' ' + OWN if cell.is_own else ''}"


def cell_words(cell: PowerCell) -> str:
    """Return a cell as a sentence with its reasons."""
    name = f"The battery of {cell.lender}" if cell.lender.startswith("post") else cell.lender
    what = f"{capital(name)} on the radio of post {cell.kit}"
    if not cell.can_power:
        return f"{what}: no. {'; '.join(capital(each.words) for each in cell.refusals)}."
    hours = hours_text(cell.hours_h) if cell.hours_h is None else duration(cell.hours_h)
    notes = "".join(f" {capital(each)}." for each in cell.notes)
    own = ", its own" if cell.is_own else ""
    return f"{what}{own}: {hours} without sun.{notes}"
