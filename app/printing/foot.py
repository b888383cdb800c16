"""The line at the foot of a page, and a small code of the page's mark at its right end."""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache
from itertools import groupby

import segno

from app.printing.marks import MM, Mark, box
from app.printing.paper import Paper
from app.printing.type import line_of, shortened

# Room for the line; the code reaches below it, and stays 5 mm from the edge.
FOOT = 4.4 * MM
# ISO/IEC 18004 wants a quiet zone of four modules on every side. A quarter of a millimetre is three
# dots of a usual printer.
MODULE = 0.25 * MM
QUIET_MODULES = 4


@dataclass(frozen=True)
class Footer:
    """What stands at the foot of every page of one input.

    Attributes
    ----------
    text : what the page is of.
    mark : short mark of the whole input, as ``counterpoise verify`` takes it.
    """

    text: str
    mark: str

    def marks(self, paper: Paper, side: str = "") -> tuple[Mark, ...]:
        """Return line and code where they stand on a sheet; ``side`` is said first."""
        code, modules = _code(self.mark)
        size = modules * MODULE
        left, quiet = paper.width - paper.margin - size, QUIET_MODULES * MODULE
        top = paper.height - paper.margin - FOOT + quiet
        line = line_of(shortened(f"{side}{self.text}", left - quiet - paper.margin))
        dark = [
            box(left + x * MODULE, top + y * MODULE, wide * MODULE, MODULE, "ink", 0.0)
            for x, y, wide in code
        ]
        return (*dark, *line.moved(paper.margin, paper.height - paper.margin - line.height))


@lru_cache(maxsize=32)
def _code(mark: str) -> tuple[tuple[tuple[int, int, int], ...], int]:
    """Return the dark runs of a code, each with its place and length, and the modules of a side."""
    # Capitals and digits alone make the smallest code; marks are read without regard to case.
    made = segno.make_qr(mark.upper(), error="m")
    runs = []
    for y, row in enumerate(made.matrix):
        x = 0
        for is_dark, modules in groupby(bool(module) for module in row):
            wide = len(list(modules))
            if is_dark:
                runs.append((x, y, wide))
            x += wide
    return tuple(runs), len(made.matrix)
