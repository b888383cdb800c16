"""Sizes in which batteries and panels can be bought: the library's, and round ones beyond them."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from math import ceil, floor, log10

from model.scenario.station import Battery, Panel, Part

# The size to take is at least this share above the least that would do.
MARGIN_SHARE = 0.02
# Of a decade: 10, 15, 20 and so on up to 95, then 100, 150. Common practice, no source.
_STEP_OF_DECADE = 0.5
_ROUNDING = 1e-9


@dataclass(frozen=True)
class SoldSize:
    """One size that can be bought.

    Attributes
    ----------
    size_ah_or_w : of one battery or panel [Ah or W].
    is_listed : whether the library has a part of that size, or the station itself.
    """

    size_ah_or_w: float
    is_listed: bool


def sizes_to_take(own: Battery | Panel, least: float, parts: Iterable[Part]) -> Iterator[SoldSize]:
    """Yield the sizes that can be bought in place of a part, the smallest first, without end.

    Parameters
    ----------
    own : the part that the station carries; its own size can be had too.
    least : the least of one battery or panel that would do [Ah or W].
    parts : of the library; of batteries those of the same chemistry and cells in series count.
    """
    from_size = least * (1 + MARGIN_SHARE)
    size = from_size
    for listed_size in listed_sizes(own, parts):
        if listed_size < from_size * (1 - _ROUNDING):
            continue
        yield SoldSize(listed_size, True)
        size = _above(listed_size)
    while True:
        size = rounded_up(size)
        yield SoldSize(size, False)
        size = _above(size)


def listed_sizes(own: Battery | Panel, parts: Iterable[Part]) -> tuple[float, ...]:
    """Return the sizes that the library lists in place of a part, its own among them [Ah or W]."""
    return tuple(sorted({_size(own), *(_size(part) for part in parts if _is_like(part, own))}))


def _above(size: float) -> float:
    return size * (1 + 10 * _ROUNDING)


def rounded_up(size: float) -> float:
    """Return the next round size that is no smaller [Ah or W].

    >>> [rounded_up(size) for size in (0.62, 7.1, 12.0, 96.0)]
    [0.65, 7.5, 15.0, 100.0]
    """
    step = _STEP_OF_DECADE * 10.0 ** floor(log10(size) + _ROUNDING)
    return round(ceil(size / step - _ROUNDING) * step, 9)


def _is_like(part: Part, own: Battery | Panel) -> bool:
    if isinstance(part, Battery) and isinstance(own, Battery):
        made = (part.chemistry, part.cells_in_series)
        return made == (own.chemistry, own.cells_in_series)
    return isinstance(part, Panel) and isinstance(own, Panel)


def _size(part: Part) -> float:
    assert isinstance(part, (Battery, Panel))
    return part.capacity_ah if isinstance(part, Battery) else part.rated_w
