"""Draws within what is known of sky, plan and parts: bands and odds."""

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from model.odds.monte_carlo import Spread as Spread
    from model.odds.monte_carlo import spread as spread
else:
    from model.support.facade import offers

    __getattr__, __dir__, __all__ = offers(
        __name__,
        monte_carlo="Spread spread",
    )
