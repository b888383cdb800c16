"""Draws within what is known of sky, plan and parts: bands and odds."""

from typing import TYPE_CHECKING

from model.support.facade import called

if TYPE_CHECKING:
    from model.odds.intervals import odds_interval as odds_interval
    from model.odds.odds import Odds as Odds
    from model.odds.odds import search_odds as search_odds
    from model.odds.years_trips import YearTrips as YearTrips
    from model.odds.years_trips import trips_of_years as trips_of_years
else:
    from model.support.facade import offers

    __getattr__, __dir__, __all__ = offers(
        __name__,
        odds="Odds search_odds",
        years_trips="YearTrips trips_of_years",
        intervals="odds_interval",
    )

# ``odds(scenario)`` in a notebook.
called(__name__, "odds", "odds")
