"""How the page says things: units, moments, and the blanks of the copy for guessing."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import UTC, datetime, timedelta
from typing import Literal

from app.widgets.number_text import awg_of, fixed, quantity, sentence_text
from model.editing.units import KG_PER_LB
from model.engine.outcome import Clock
from model.scenario.station import Lead
from model.station.conductors import conductor_mm2
from model.support.figures import NBSP, day_and_time, day_text, duration, told, unbroken, with_unit

Variant = Literal["plain", "class", "answers"]
Units = Literal["metric", "us"]
NONE = "–"
# Before a time most of which rests on guesses.
ABOUT = f"≈{NBSP}"


@dataclass(frozen=True)
class Blank:
    """A place to write in by hand; without a width it fills its column."""

    width: float | None = None


Cell = str | Blank


@dataclass(frozen=True)
class Say:
    """The manner of one page: its units, and whether predictions are left out for guessing.

    ``days`` is the length of the run: from a week on, a weekday no longer names one day.
    ``filled`` are blanks of the head that are known, each with its name.
    """

    units: Units = "metric"
    variant: Variant = "plain"
    days: int = 1
    filled: tuple[tuple[str, str], ...] = ()

    @property
    def us(self) -> bool:
        """Whether US customary units are used."""
        return self.units == "us"

    def guessed(self, text: str) -> Cell:
        """Return a prediction, or a blank to write a guess into."""
        return Blank() if self.variant == "class" else text

    def at(self, moment: datetime) -> str:
        """Return a local moment within the run."""
        return day_and_time(moment, self.days)

    def until(self, clock: Clock, *, applies: bool, about: bool) -> str:
        """Return when a clock ends; ≈ where most of it rests on guesses."""
        if not applies:
            return "not planned"
        if clock.until is None:
            return "lasts"
        return f"{ABOUT if about else ''}{self.at(told(clock.until, about=about))}"

    def quantity(self, value: float, unit: str, decimals: int = 0) -> str:
        """Return a number in the units of this page."""
        return quantity(value, unit, decimals, us=self.us)

    def words(self, sentence: str) -> str:
        """Return a sentence of the model with its quantities in the units of this page."""
        return sentence_text(sentence, us=self.us)

    def conductor(self, lead: Lead) -> str:
        """Return the size of a lead's conductor."""
        size_mm2 = conductor_mm2(lead)
        if size_mm2 is None:
            return NONE
        if self.us:
            gauge = lead.awg if lead.awg is not None else round(awg_of(size_mm2))
            return f"AWG {gauge}"
        return with_unit(f"{size_mm2:.3g}", "mm²")


def hours(value_h: float | None) -> str:
    """Return hours, or that they go beyond the limit of the reckoning."""
    return unbroken("over 30 days") if value_h is None else duration(value_h)


def pounds(mass_kg: float) -> str:
    """Return pounds for the carry list, which shows both."""
    return fixed(mass_kg / KG_PER_LB, 2)


def dates(start: datetime, days: int) -> str:
    """Return begin and end of a run in local time and in UTC; the same dates are said once."""
    end = (start.astimezone(UTC) + timedelta(days=days)).astimezone(start.tzinfo)
    first, last = start.astimezone(UTC), end.astimezone(UTC)
    utc = f"{first.day} {first:%b %H:%M} to {last.day} {last:%b %H:%M}"
    if (first.date(), last.date()) == (start.date(), end.date()):
        utc = f"{first:%H:%M} to {last:%H:%M}"
    return (
        f"{start.day} {start:%b %Y %H:%M} to {end.day} {end:%b %H:%M} local (UTC{_offset(start)})"
        f" = {utc} UTC"
    )


def brief_dates(start: datetime, days: int) -> str:
    """Return begin and end of a run with their days of the week, and the begin in UTC."""
    end = (start.astimezone(UTC) + timedelta(days=days)).astimezone(start.tzinfo)
    return (
        f"{day_text(start)} {start.year} {start:%H:%M} to {day_text(end)} {end:%H:%M}"
        f" ({start.astimezone(UTC):%H:%M} UTC)"
    )


def _offset(start: datetime) -> str:
    text = f"{start:%z}"
    return f"{text[:3]}:{text[3:5]}"


def degrees(latitude_deg: float, longitude_deg: float) -> str:
    """Return a place in degrees with its letters."""
    north = "N" if latitude_deg >= 0 else "S"
    east = "E" if longitude_deg >= 0 else "W"
    return f"{abs(latitude_deg):.4f}° {north} {abs(longitude_deg):.4f}° {east}"
