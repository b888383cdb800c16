"""The two things that odds are said of, never mixed: any trip of the season, and the forecast."""

from __future__ import annotations

from dataclasses import dataclass, replace

from model.engine.comparison import COARSE_STEP_MIN
from model.odds.half_months import HalfMonth
from model.odds.odds import Odds, search_odds
from model.odds.sentences import head_words, season_words
from model.results.wording import called, capital
from model.scenario.scenario import Scenario
from model.support.figures import in_10
from model.support.progress import Search, within


@dataclass(frozen=True, eq=False)
class Rows:
    """Both odds of one scenario.

    Attributes
    ----------
    season : from the years or the climate; None where the place has neither.
    forecast : from the planned skies.
    """

    season: Odds | None
    forecast: Odds

    @property
    def first(self) -> Odds:
        """The odds that are told first: those of the season where there are any."""
        return self.season or self.forecast

    @property
    def all(self) -> tuple[Odds, ...]:
        """The odds there are, those of the season first."""
        return (self.forecast,) if self.season is None else (self.season, self.forecast)

    def with_year(self, half_months: tuple[HalfMonth, ...]) -> Rows:
        """Return the same odds, those of the season with the year in half-months."""
        if self.season is None:
            return self
        return replace(self, season=replace(self.season, half_months=half_months))


def search_rows(
    scenario: Scenario, trips: int, *, step_min: float = COARSE_STEP_MIN
) -> Search[Rows]:
    """Run the trips of the season, where the place has a climate, and those of the forecast.

    Parameters
    ----------
    scenario : the question.
    trips : how many of each.
    step_min : length of a step [min].

    Returns
    -------
    Gives the share done, 0..1, and at its end both odds.
    """
    season, begin = None, 0.0
    if scenario.climate is not None:
        begin = 0.5
        season = yield from within(search_odds(scenario, trips, step_min=step_min), 0.0, begin)
    planned = search_odds(scenario, trips, basis="forecast", step_min=step_min)
    forecast = yield from within(planned, begin, 1.0)
    return Rows(season, forecast)


def headline_words(found: Odds) -> str:
    """Return the odds of all stations to receive to the end, in one sentence."""
    told = [
        (called(found.scenario, index), in_10(one.receive.value))
        for index, one in enumerate(found.stations)
        if one is not None
    ]
    if not told:
        return "No station can be run: see the findings."
    first = f"{told[0][1]} keep {told[0][0]} receiving to the end"
    rest = "".join(f", {odds} keep {who}" for who, odds in told[1:])
    return f"{capital(head_words(found))}: {first}{rest}."


def row_name(found: Odds) -> str:
    """Return what stands beside the bar of odds, such as "any mid-April weekend"."""
    if found.basis == "forecast":
        return "if the forecast holds"
    return season_words(found.scenario.day.date, found.scenario.day.days)
