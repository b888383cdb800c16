"""The two papers, each with margins that every printer and photocopier leaves alone."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from app.printing.marks import MM

PaperName = Literal["a4", "letter"]


@dataclass(frozen=True)
class Paper:
    """One size of paper, upright."""

    name: PaperName
    width: float
    height: float
    margin: float = 7.0 * MM

    @property
    def inner_width(self) -> float:
        """Width between the margins."""
        return self.width - 2 * self.margin

    @property
    def inner_height(self) -> float:
        """Height between the margins."""
        return self.height - 2 * self.margin


# ISO 216 and ANSI/ASME Y14.1.
PAPERS: dict[str, Paper] = {
    "a4": Paper("a4", 210.0 * MM, 297.0 * MM),
    "letter": Paper("letter", 215.9 * MM, 279.4 * MM),
}


def paper_with(*, us: bool) -> PaperName:
    """Return the paper in the printers of those who read US units, or all others."""
    return "letter" if us else "a4"
