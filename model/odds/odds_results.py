"""The odds among the results: of receiving to the end and of the reserve, a row each."""

from __future__ import annotations

from collections.abc import Sequence

from model.odds.odds import Odds
from model.odds.sentences import basis_words, head_words, odds_text
from model.odds.shares import Share
from model.results.wording import heading_at
from model.scenario.scenario import Scenario
from model.support.figures import short_in_10, short_span_in_10
from model.verdict.explain_figure import FigureSum, SumLine
from model.verdict.results import NOTHING, Figure, Result

# They stand under the charge that they are about.
_AFTER = "lowest_fraction"
ODDS_PREFIX = "odds."
_LABELS = {
    "receive": ("Odds of receive", "Odds to receive to the end"),
    "reserve": ("Odds of reserve", "Odds to keep the reserve"),
}


def with_odds(
    rows: Sequence[Result], found: Odds | None, scenario: Scenario, unknown: str
) -> tuple[Result, ...]:
    """Return results with the two rows of odds.

    Parameters
    ----------
    rows : the results without odds.
    found : the latest odds; those of another scenario are marked as old.
    scenario : what the results are of.
    unknown : what stands where no odds are known.

    Returns
    -------
    All rows, in the order they are shown.
    """
    place = [row.key for row in rows].index(_AFTER) + 1
    told = tuple(_row(name, found, scenario, unknown) for name in _LABELS)
    return (*rows[:place], *told, *rows[place:])


def _row(name: str, found: Odds | None, scenario: Scenario, unknown: str) -> Result:
    label, full_label = _LABELS[name]
    count = len(scenario.stations)
    if found is None or len(found.stations) != count:
        figures = (Figure(unknown),) * count
        return Result(f"{ODDS_PREFIX}{name}", label, full_label, figures)
    is_old = found.scenario is not scenario
    figures = tuple(_figure(_share(found, index, name), is_old=is_old) for index in range(count))
    full_label = f"{full_label}, {head_words(found)}"
    return Result(f"{ODDS_PREFIX}{name}", label, full_label, figures)


def _share(found: Odds, index: int, name: str) -> Share | None:
    station = found.stations[index]
    return None if station is None else getattr(station, name)


def _figure(share: Share | None, *, is_old: bool) -> Figure:
    if share is None:
        return Figure(NOTHING, is_old=is_old)
    return Figure(short_in_10(share.value), short_span_in_10(share.low, share.high), is_old=is_old)


def odds_sum(
    found: Odds | None, scenario: Scenario, index: int, key: str, fault: str = ""
) -> FigureSum:
    """Return the trial trips behind one of the odds of a station.

    Parameters
    ----------
    found : the latest odds.
    scenario : what the results are of.
    index : place of the station.
    key : of a row that ``with_odds`` made.
    fault : why there are none.

    Returns
    -------
    How many trips of how many, and where their skies come from.
    """
    name = key.removeprefix(ODDS_PREFIX)
    head = f"{heading_at(scenario, index)}, {_LABELS[name][1][0].lower()}{_LABELS[name][1][1:]}"
    if found is None or index >= len(found.stations):
        why = f"could not be worked out: {fault}" if fault else "not worked out yet"
        return FigureSum(f"{head}: {why}", ())
    share = _share(found, index, name)
    if share is None:
        return FigureSum(f"{head}: not calculated, see the findings", ())
    old = "; of the scenario before the last change" if found.scenario is not scenario else ""
    kept = round(share.value * found.trips)
    lines = (
        SumLine("trial trips in which it does", f"{kept} of {found.trips}"),
        SumLine("as odds, with their bounds", odds_text(share)),
        SumLine(basis_words(found)),
    )
    return FigureSum(f"{head}, {head_words(found)}{old}", lines)
