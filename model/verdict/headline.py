"""The headline: the outcome of a comparison in one sentence of at most fourteen words."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from datetime import datetime
from math import inf
from typing import Literal

from model.editing.field_facts import describe
from model.engine.comparison import Comparison
from model.engine.outcome import Clock
from model.engine.run import StationRun
from model.results.tie_point import first_end_h
from model.results.wording import called, capital, end_moment, letter
from model.station.decibels import decibels
from model.station.transmit_path import highest_planned_w
from model.support.figures import amount, day_and_time, percent, told
from model.verdict.hazards import worst_hazard
from model.verdict.headline_cause import cause_of_end, cause_of_lowest
from model.verdict.order import is_guessed, too_close
from model.verdict.stretches import lasting_return

WORDS_LIMIT = 14
# Less light on the panel than this share of what the loads take is hardly any.
HARDLY_ANY_SUN = 0.02
Kind = Literal[
    "hazard", "not calculated", "tie", "off the air", "receive only", "reduced power",
    "reserve", "none",
]  # fmt: skip
# The gravest first: what a station has lost when a clock ends.
_STATES: tuple[tuple[str, Kind], ...] = (
    ("receive", "off the air"),
    ("reduced_power", "receive only"),
    ("full_power", "reduced power"),
)
_RECEIVE, _REDUCED = range(2)
# Marks around the words that are emphasised, in texts that are still being put together.
_OPEN, _CLOSE = "\x02", "\x03"


@dataclass(frozen=True)
class Headline:
    """What a comparison comes to.

    Attributes
    ----------
    text : one sentence of at most fourteen words.
    emphasis : first character of the moment in it, and the one after its last; alike where none.
    station : whose moment it is; None where it is nobody's.
    kind : what the sentence is about.
    cause : why, in one sentence; of a hazard, what the run comes to all the same.
    """

    text: str
    emphasis: tuple[int, int]
    station: int | None
    kind: Kind
    cause: str


@dataclass(frozen=True)
class _End:
    """The gravest end of one station."""

    index: int
    state: int
    clock: Clock
    at: datetime
    text: str


def headline(comparison: Comparison) -> Headline:
    """Return the headline of a comparison; letters stand for stations."""
    hazard = worst_hazard(comparison)
    teller = _Teller(comparison)
    if hazard is not None:
        marked = hazard.text.replace(hazard.figure, _OPEN + hazard.figure + _CLOSE, 1)
        cause, _, _ = teller.outcome()
        return _unmarked(marked, hazard.station, "hazard", _unmarked(cause, None, "none", "").text)
    text, station, kind = teller.outcome()
    return _unmarked(text, station, kind, teller.cause(station))


def _unmarked(text: str, station: int | None, kind: Kind, cause: str) -> Headline:
    before, _, rest = text.partition(_OPEN)
    moment, _, after = rest.partition(_CLOSE)
    span = (len(before), len(before) + len(moment))
    return Headline(before + moment + after, span, station, kind, cause)


def _fitting(texts: Iterable[str]) -> str:
    """Return the first text that is short enough, else the last."""
    text = ""
    for text in texts:
        if len(text.split()) <= WORDS_LIMIT:
            break
    return text


class _Teller:
    """Puts one comparison into words."""

    def __init__(self, comparison: Comparison) -> None:
        self._comparison = comparison
        self._scenario = comparison.scenario
        self._is_one = len(comparison.runs) == 1
        self._runs = {i: run for i, run in enumerate(comparison.runs) if run is not None}
        self._missing = [i for i, run in enumerate(comparison.runs) if run is None]
        self._ends = sorted(
            (end for index in self._runs if (end := self._end(index)) is not None),
            key=lambda end: (end.state, end.at, end.index),
        )
        ended = {end.index for end in self._ends}
        self._lasting = [index for index in self._runs if index not in ended]

    def outcome(self) -> tuple[str, int | None, Kind]:
        """Return the sentence with the moment marked, whose it is, and its kind."""
        if self._missing:
            return self._not_calculated()
        texts, station, kind = self._of_runs()
        return _fitting(texts), station, kind

    def cause(self, station: int | None) -> str:
        """Return why the station of the headline ends or comes lowest."""
        if station is None or station in self._missing:
            faults = [f for f in self._comparison.findings if f.level == "error" and f.withholds]
            return faults[0].sentence if faults else ""
        end = next((end for end in self._ends if end.index == station), None)
        if end is None:
            return cause_of_lowest(self._runs[station])
        return cause_of_end(self._runs[station], _STATES[end.state][0], end.clock)

    # Pieces.

    def _who(self, indices: Iterable[int]) -> str:
        return ", ".join(called(self._scenario, index) for index in indices)

    def _end(self, index: int) -> _End | None:
        run = self._runs[index]
        for state, (name, _) in enumerate(_STATES):
            clock: Clock = getattr(run.clocks, name)
            if clock.until is not None:
                return _End(index, state, clock, clock.until, self._time(run, clock.until))
        return None

    def _time(self, run: StationRun, at: datetime) -> str:
        about = is_guessed(run)
        said = day_and_time(told(at, about=about), run.clock.days)
        return f"about {said}" if about else said

    def _back(self, end: _End) -> str:
        """Return when a station that went off the air is back, as the end of a clause."""
        run = self._runs[end.index]
        back = lasting_return(run)
        if back is None or end.state != _RECEIVE:
            return ""
        about = is_guessed(run)
        back, gone = told(back, about=about), told(end.at, about=about)
        if back == gone:
            # So short that rounding takes it away.
            return ""
        said = day_and_time(back, run.clock.days)
        # On the same day the hour is enough, unless the clocks are changed on it.
        if back.date() == gone.date() and back.utcoffset() == gone.utcoffset():
            same = said.endswith(f"{back:%H:%M}")
            said = f"{back:%H:%M}" if same else said
        return f", back {said}"

    def _goes(self, who: str, state: int, moment: str) -> str:
        """Return what becomes of a station, in a clause."""
        be = "is " if self._is_one else ""
        return (
            f"{who} {be}off the air {moment}",
            f"{who} can only receive from {moment}",
            f"{who} {be}at reduced power from {moment}",
        )[state]

    def _last(self, indices: list[int]) -> str:
        if not indices:
            return ""
        return f"{self._who(indices)} {'lasts' if len(indices) == 1 else 'last'}"

    # The catalogue.

    def _of_runs(self) -> tuple[Iterator[str], int | None, Kind]:
        """Return texts on the stations that were run, the fullest first."""
        if not self._ends:
            return self._nobody_ends()
        first = self._ends[0]
        kind = _STATES[first.state][1]
        if self._tied():
            return self._tie(), first.index, "tie"
        if len(self._ends) == 1:
            return self._one_ends(first), first.index, kind
        return self._several_end(first), first.index, kind

    def _tied(self) -> list[int]:
        """Return the two that end first or next to it, if the numbers cannot tell them apart."""
        first = self._ends[0]
        if len(self._ends) > 1:
            second = self._ends[1].index
            if self._ends[1].state != first.state:
                return []
        elif self._lasting:
            # Nearest to an end is the one with least left.
            second = min(self._lasting, key=lambda index: self._runs[index].lowest.value)
        else:
            return []
        pair = sorted((first.index, second), key=lambda index: first_end_h(self._runs[index]))
        return pair if too_close(self._runs[pair[0]], self._runs[pair[1]]) else []

    def _tie(self) -> Iterator[str]:
        first, others = self._ends[0], self._ends[1:2]
        lead = "Too close to call: "
        rest = self._last(self._lasting)
        if not others:
            near = next(index for index in self._tied() if index != first.index)
            ends = self._goes(self._who([first.index]), first.state, _marked(first.text))
            yield f"{lead}{ends}, {self._who([near])} barely lasts."
            yield f"{lead}{self._who([first.index])} {_marked(first.text)}."
            return
        second = others[0]
        if second.text == first.text:
            both = " and ".join(self._who([index]) for index in sorted((first.index, second.index)))
            said = f"{lead}{both}, {_marked(first.text)}"
        else:
            said = (
                f"{lead}{self._who([first.index])} {_marked(first.text)},"
                f" {self._who([second.index])} {second.text}"
            )
        if rest:
            yield f"{said}; {rest}."
        yield f"{said}."

    def _one_ends(self, end: _End) -> Iterator[str]:
        before, back, last = self._weather(end), self._back(end), self._last(self._lasting)
        power = self._powers()
        if power and not before and len(self._lasting) == 1:
            for tags in power:
                there = self._lasting[0]
                here = self._goes(tags[end.index], end.state, _marked(end.text))
                yield f"{tags[there]} lasts; {here}."
        said = before + self._goes(self._who([end.index]), end.state, _marked(end.text))
        rest = f"; {last}" if last else ""
        for text in (said + back + rest, said + rest, said + back, said):
            yield _sentence(text)

    def _several_end(self, first: _End) -> Iterator[str]:
        before, last = self._weather(first), self._last(self._lasting)
        power = self._powers()
        if power and not before and self._ends[1].state == first.state:
            for tags in power:
                here = self._goes(tags[first.index], first.state, _marked(first.text))
                yield f"{here}, {tags[self._ends[1].index]} {self._ends[1].text}."
        alike = [e for e in self._ends if e.state == first.state]
        together = [e.index for e in alike if e.text == first.text]
        said = before + self._goes(self._who(together), first.state, _marked(first.text))
        later = [e for e in alike if e.text != first.text]
        times = "".join(f", {self._who([e.index])} {e.text}" for e in later)
        order = f", then {self._who(e.index for e in later)}" if later else ""
        graver = "".join(
            f"; {self._goes(self._who([e.index]), e.state, e.text)}"
            for e in self._ends
            if e.state != first.state
        )
        lost = {_REDUCED: "transmitting", _REDUCED + 1: "full power"}
        less = "".join(
            f"; {self._who([e.index])} loses {lost[e.state]}"
            for e in self._ends
            if e.state != first.state
        )
        rest = f"; {last}" if last else ""
        whole = (times + graver + rest, times + less + rest, order + less + rest)
        for tail in (*whole, times + rest, order + rest, times, order, less, rest, ""):
            yield _sentence(said + tail)

    def _nobody_ends(self) -> tuple[Iterator[str], int | None, Kind]:
        if not self._runs:
            return iter(()), None, "not calculated"
        crossed = [
            (at, index)
            for index, run in self._runs.items()
            if (at := run.reserve_crossed_at) is not None
        ]
        if crossed:
            at, index = min(crossed)
            return self._only_reserve(index, at), index, "reserve"
        least = min(self._runs, key=lambda index: self._runs[index].lowest.value)
        return self._all_last(least), least, "none"

    def _everyone(self) -> str:
        if self._is_one:
            return "The station lasts"
        if self._missing:
            return self._last(list(self._runs))
        return "Both last" if len(self._runs) == 2 else "All last"

    def _only_reserve(self, index: int, at: datetime) -> Iterator[str]:
        run = self._runs[index]
        reserve = f"{percent(run.station.reserve_fraction)} reserve"
        time = self._time(run, at)
        who = "" if self._is_one else f"{self._who([index])} "
        below = f"below its {reserve} from {_marked(time)}"
        if at <= run.clock.at(run.judged_from):
            below = f"{'starts' if who else 'but starts'} below its {reserve}"
        yield f"{self._everyone()} to {end_moment(run)}; {who}{below}."
        yield f"{self._everyone()}; {who}{below}."

    def _all_last(self, least: int) -> Iterator[str]:
        run = self._runs[least]
        until = end_moment(run)
        for tags in self._powers():
            pair = ", ".join(tags[index] for index in sorted(tags))
            yield f"{self._everyone()} to {_marked(until)}: {pair}."
        charge, time = percent(run.lowest.value), self._time(run, run.lowest.at)
        near = "lowest" if self._is_one else f"{self._who([least])} nearest,"
        everyone = self._everyone()
        if self._weather(None):
            yield f"No sun: {everyone[0].lower()}{everyone[1:]} to {until}; {near} {charge}."
        yield f"{everyone} to {until}; {near} {charge} {_marked(time)}."
        yield f"{everyone}; {near} {charge} {_marked(time)}."

    def _not_calculated(self) -> tuple[str, int | None, Kind]:
        faults = [f for f in self._comparison.findings if f.level == "error" and f.withholds]
        first = next(
            (f for f in faults if f.path.startswith(f"stations.{self._missing[0]}.")),
            faults[0] if faults else None,
        )
        field = describe(first.path).rpartition(", ")[2] if first is not None else "findings"
        who = capital(self._who(self._missing))
        be = "is " if self._is_one else ""
        checks = (f"{who} {be}not calculated: check {field}.", f"{who} {be}not calculated.")
        station: int | None = self._missing[0]
        if not self._runs:
            return _fitting(checks), station, "not calculated"
        texts, _, _ = self._of_runs()
        known = list(texts)
        if not self._ends:
            known.append(f"{self._everyone()}.")
        pairs = [f"{check} {text}" for check in checks for text in known]
        return _fitting((*pairs, *checks)), station, "not calculated"

    def _weather(self, end: _End | None) -> str:
        """Return what the sky or the cold did to it, as the beginning of a headline."""
        if end is not None and end.clock.because == "frost":
            return "Too cold to charge: "
        affected = [self._runs[end.index]] if end is not None else list(self._runs.values())
        lit = [_sun_share(run) for run in affected if run.station.panel is not None]
        if not lit or len(lit) < len(affected):
            return ""
        if max(lit) <= 0:
            return "No sun: "
        return "Hardly any sun: " if end is not None and max(lit) < HARDLY_ANY_SUN else ""

    def _powers(self) -> Iterator[dict[int, str]]:
        """Yield what two stations of unequal power are called, the fullest first."""
        if len(self._runs) != 2 or self._missing:
            return
        plan = self._scenario.plan
        watts = {i: highest_planned_w(run.station, plan) for i, run in self._runs.items()}
        low, high = sorted(watts, key=lambda index: watts[index])
        if watts[high] <= watts[low] * 1.0001:
            return
        names = {index: letter(index) for index in watts}
        strong = amount(watts[high], "W")
        if watts[low] <= 0:
            yield {low: f"{names[low]} (no transmitting)", high: f"{names[high]} ({strong})"}
            return
        weak = f"{names[low]} ({amount(watts[low], 'W')})"
        gap = amount(decibels(watts[high], watts[low]), "dB", 2)
        yield {low: weak, high: f"{names[high]} ({strong}, +{gap})"}
        yield {low: weak, high: f"{names[high]} ({strong})"}


def _sun_share(run: StationRun) -> float:
    """Return the light on the panel over what the loads take [1]."""
    return run.sums.panel_wh.available / run.sums.load_wh if run.sums.load_wh > 0 else inf


def _marked(moment: str) -> str:
    return f"{_OPEN}{moment}{_CLOSE}"


def _sentence(text: str) -> str:
    return f"{capital(text)}."
