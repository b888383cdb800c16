"""The results that stand beside the parts: some ten figures of each station, ready to be read."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from datetime import datetime
from functools import partial

from model.engine.comparison import Comparison
from model.engine.run import StationRun
from model.results.provenance import guess_share
from model.results.wording import FROM_GUESSES, USE_LABELS, end_moment
from model.station.carried_mass import carried_total, shared_extras
from model.station.decibels import decibels
from model.station.transmit_path import highest_planned_w
from model.support.figures import (
    MINUS,
    NBSP,
    day_and_time,
    duration,
    entered,
    number,
    percent,
    told,
    with_unit,
)
from model.verdict.order import GUESSED_SHARE
from model.verdict.stretches import longest_draw, off_air

NOTHING = "–"
UNKNOWN = "…"
MASS_DECIMALS = 1


@dataclass(frozen=True)
class Figure:
    """One figure of one station.

    Attributes
    ----------
    text : the figure with its unit.
    note : what belongs to it, where there is room; empty without.
    is_end : it is the time at which something ends.
    is_old : it belongs to an earlier scenario.
    """

    text: str
    note: str = ""
    is_end: bool = False
    is_old: bool = False

    @property
    def words(self) -> str:
        """The figure and what belongs to it, as they are read out."""
        return f"{self.text}, {self.note}" if self.note else self.text


@dataclass(frozen=True)
class Result:
    """One row of the results: a figure for each station.

    Attributes
    ----------
    key : names the figure for whoever opens its sum.
    label, full_label : what it is, in short and in full.
    figures : one for each station.
    unit, values, decimals : of a quantity that other units are in use for, so that a view may show
        it in those; empty where the texts say all.
    """

    key: str
    label: str
    full_label: str
    figures: tuple[Figure, ...]
    unit: str = ""
    values: tuple[float, ...] = ()
    decimals: int = 0


@dataclass(frozen=True, eq=False)
class _Told:
    """A run, and how much of it comes from guesses: worked out once for all its figures."""

    run: StationRun
    guess_share: float

    def moment(self, at: datetime) -> str:
        """Return a moment as headline and table say it."""
        return day_and_time(told(at, about=self.is_about), self.run.clock.days)

    @property
    def is_about(self) -> bool:
        """Whether moments are said to ten minutes only."""
        return self.guess_share > GUESSED_SHARE

    @property
    def mark(self) -> str:
        """What stands before a moment of which that is so."""
        return f"≈{NBSP}" if self.is_about else ""


def results(comparison: Comparison) -> tuple[Result, ...]:
    """Return the results of a comparison, RF power first."""
    told_of = [None if run is None else _Told(run, guess_share(run)) for run in comparison.runs]

    def row(key: str, label: str, full: str, figure: Callable[[_Told], Figure]) -> Result:
        figures = tuple(Figure(NOTHING) if one is None else figure(one) for one in told_of)
        return Result(key, label, full, figures)

    return (
        _power(comparison),
        row("full_power", "Full power until", "Full power until", partial(_clock, "full_power")),
        row("receive", "Receive until", "Receive until", partial(_clock, "receive")),
        row("off_air", "Off the air for", "Off the air, in all", _off_air),
        row("lowest_fraction", "Lowest charge", "Lowest charge, and when", _lowest),
        row("night_ah", "Drawn a night", NIGHT_LABEL, _night),
        row("transmit_volts.lowest", "Volts, key down", VOLTS_LABEL, _volts),
        _carried(comparison),
        row("guess_share", FROM_GUESSES, GUESSES_LABEL, _guesses),
    )


NIGHT_LABEL = "Drawn from dusk to dawn in the night that takes most, and its largest use"
VOLTS_LABEL = "Lowest voltage at the radio, key down"
GUESSES_LABEL = "Share of the Ah that comes from guesses"


def _power(comparison: Comparison) -> Result:
    scenario = comparison.scenario
    powers = [highest_planned_w(station, scenario.plan) for station in scenario.stations]
    figures = tuple(
        Figure(entered(power, "W"), _against(power, powers[0])) if power else Figure(NOTHING)
        for power in powers
    )
    return Result("rf_w", "RF power", "Highest RF power that is planned and given", figures)


def _against(power_w: float, first_w: float) -> str:
    """Return how far a power lies above that of the first station, in dB; empty for equals."""
    if not first_w or power_w == first_w:
        return ""
    text = number(decibels(power_w, first_w), 2)
    return with_unit(text if text.startswith(MINUS) else f"+{text}", "dB")


def _clock(name: str, of: _Told) -> Figure:
    run = of.run
    clock = getattr(run.clocks, name)
    if clock.until is not None:
        return Figure(f"{of.mark}{of.moment(clock.until)}", is_end=True)
    if name == "receive" or highest_planned_w(run.station, run.plan):
        return Figure(f"to {end_moment(run)}")
    is_planned = any(block.sends for block in run.plan)
    return Figure("receives only" if is_planned else "not planned")


def _off_air(of: _Told) -> Figure:
    spans = off_air(of.run, about=of.is_about)
    if not spans:
        return Figure("never")
    text = f"{of.mark}{duration(sum(span.hours for span in spans))}"
    return Figure(text, f"{len(spans)} times" if len(spans) > 1 else "")


def _lowest(of: _Told) -> Figure:
    return Figure(percent(of.run.lowest.value), of.moment(of.run.lowest.at))


def _night(of: _Told) -> Figure:
    night = longest_draw(of.run)
    if night is None:
        return Figure("no night")
    most = USE_LABELS[night.by_use_ah[0][0]] if night.by_use_ah else ""
    return Figure(_fixed(night.ah, 1, "Ah"), most)


def _volts(of: _Told) -> Figure:
    lowest = of.run.transmit_volts.lowest
    return Figure(NOTHING if lowest is None else _fixed(lowest, 2, "V"))


def _guesses(of: _Told) -> Figure:
    return Figure(percent(of.guess_share))


def _carried(comparison: Comparison) -> Result:
    scenario = comparison.scenario
    totals = [
        carried_total(station, shared_extras(scenario, index))
        for index, station in enumerate(scenario.stations)
    ]
    masses = tuple(total.mass_kg for total in totals)
    figures = tuple(
        Figure(_fixed(total.mass_kg, MASS_DECIMALS, "kg"), total.unweighed_words)
        for total in totals
    )
    label = "Mass of all that is carried"
    return Result("mass_kg", "Carried", label, figures, "kg", masses, MASS_DECIMALS)


def _fixed(value: float, decimals: int, unit: str) -> str:
    """Return a quantity with all its decimals: those of a column stand under each other."""
    return with_unit(f"{value:.{decimals}f}".replace("-", MINUS), unit)
