"""Draws within what is known of sky, plan and parts: bands and odds."""

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from model.odds.intervals import odds_interval as odds_interval
    from model.odds.monte_carlo import Spread as Spread
    from model.odds.monte_carlo import spread as spread
    from model.odds.years_trips import YearTrips as YearTrips
    from model.odds.years_trips import trips_of_years as trips_of_years
else:
    from model.support.facade import offers

    __getattr__, __dir__, __all__ = offers(
        __name__,
        monte_carlo="Spread spread",
        years_trips="YearTrips trips_of_years",
        intervals="odds_interval",
    )
