"""From which starts in the year enough of ten trips receive to the end, in a sentence."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date, timedelta

from model.odds.half_months import HalfMonth
from model.odds.odds import Odds
from model.results.wording import called, capital
from model.support.figures import day_text


def reaching_words(found: Odds, of_ten: int) -> str:
    """Return when in the year so many of ten trips receive to the end, a clause a station.

    Parameters
    ----------
    found : odds with their half-months; without them nothing is said.
    of_ten : how many of ten trips are enough.
    """
    told = []
    for index in range(len(found.stations)):
        shares = [half.receive[index] for half in found.half_months]
        reaches = [share is not None and share.value * 10 >= of_ten - 1e-9 for share in shares]
        if shares and any(share is not None for share in shares):
            told.append(f"{called(found.scenario, index)} {_when(found.half_months, reaches)}")
    return capital(f"{of_ten} of 10 or more: {'; '.join(told)}.") if told else ""


def _when(halves: Sequence[HalfMonth], reaches: Sequence[bool]) -> str:
    if all(reaches):
        return "from starts all year"
    if not any(reaches):
        return "from no start"
    count = len(halves)
    # A stretch round the turn of the year is one: begin behind a half-month that fails.
    first = reaches.index(False)
    spans: list[tuple[int, int]] = []
    for step in range(first, first + count):
        at = step % count
        if reaches[at] and spans and spans[-1][1] == step - 1:
            spans[-1] = (spans[-1][0], step)
        elif reaches[at]:
            spans.append((step, step))
    texts = [
        f"{_day(halves[begin % count].start)} to {_day(_last_of(halves, end % count))}"
        for begin, end in spans
    ]
    return f"from starts {' and '.join(texts)}"


def _last_of(halves: Sequence[HalfMonth], at: int) -> date:
    following = halves[(at + 1) % len(halves)].start
    if at + 1 == len(halves):
        following = following.replace(year=following.year + 1)
    return following - timedelta(days=1)


def _day(day: date) -> str:
    return day_text(day).split(" ", 1)[1]
