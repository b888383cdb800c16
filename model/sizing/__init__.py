"""Smallest battery and panel, frontier, break-even, sensitivity, equal terms, the year."""

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from model.sizing.break_even_map import BreakEven as BreakEven
    from model.sizing.break_even_map import search_break_even as search_break_even
    from model.sizing.frontier import search_frontier as search_frontier
    from model.sizing.sensitivity import search_sensitivity as search_sensitivity
    from model.sizing.smallest import size as size
    from model.sizing.smallest import smallest_battery as smallest_battery
    from model.sizing.smallest import smallest_panel as smallest_panel
    from model.sizing.variants_compared import search_versions as search_versions
    from model.sizing.year import Year as Year
    from model.sizing.year import search_year as search_year
else:
    from model.support.facade import offers

    __getattr__, __dir__, __all__ = offers(
        __name__,
        smallest="smallest_battery smallest_panel size",
        break_even_map="BreakEven search_break_even",
        frontier="search_frontier",
        sensitivity="search_sensitivity",
        year="Year search_year",
        variants_compared="search_versions",
    )
