"""Which cautions stand beside which part of a station."""

from __future__ import annotations

from model.scenario.cautions import PARALLEL, SWAP, Caution
from model.scenario.chemistries import CHEMISTRIES
from model.scenario.kinds import KIND_OF_SLOT


def part_cautions(slot: str, chemistry: str = "", count: int = 1) -> tuple[Caution, ...]:
    """Return the cautions that stand beside a part, by the name of its place in a station.

    ``chemistry`` is that of a battery, none where it is not known yet; ``count`` is how many of it
    are in parallel.
    """
    found = KIND_OF_SLOT[slot].cautions
    if slot != "battery":
        return found
    cells = CHEMISTRIES[chemistry].cautions if chemistry else ()
    return (*found, *cells, PARALLEL if count > 1 else SWAP)
