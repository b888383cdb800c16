"""What is said of weather files that were read into a scenario, in plain lines."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from math import isnan

from model.files.weather_import import MONTH_NAMES, PlaceRead, WeatherImport
from model.scenario.climate import WeatherYear
from model.sky.word_scales import SCALE_BOUNDS
from model.support.figures import with_unit

# Further away or higher than this the weather is another place's: common practice, no source.
FAR_KM = 50.0
HIGHER_M = 300.0
# Half an hour: a clock that is off by one, or a zone of the neighbours.
LATE_MIN = 30.0
# ISO 2533, standard atmosphere below 11 km.
COLDER_PER_KM_C = 6.5


def import_lines(found: WeatherImport) -> tuple[str, ...]:
    """Return places, warnings, years, gaps and what words for a sky stand for."""
    lines: list[str] = []
    for place in found.places:
        lines += [place_line(place), *place_warnings(place)]
    lines += [year_line(year) for year in found.years]
    if any(year.typical for year in found.years):
        lines.append(
            "A typical year is twelve ordinary months spliced together: bad years are worse."
        )
    lines += _doubts(found)
    lines += _scales(found)
    years = found.climate.years
    days = sum(len(year.clearness) for year in years)
    lines.append(
        f"With these files the scenario holds {_count(days, 'day')} of weather, of"
        f" {_count(len(years), 'year')}."
    )
    return tuple(lines)


def place_line(place: PlaceRead) -> str:
    """Return what was read of a place, and where it lies from the site."""
    latitude, longitude, elevation = place.spot
    at = (
        f"{abs(latitude):.2f}° {'S' if latitude < 0 else 'N'}"
        f" {abs(longitude):.2f}° {'W' if longitude < 0 else 'E'},"
        f" {_metres(elevation)}"
    )
    name = f" {place.name}" if place.name else ""
    where = f"{_kilometres(place)} from the site"
    if abs(place.height_m) >= 0.5:
        where += f", {_metres(abs(place.height_m))} {'higher' if place.height_m > 0 else 'lower'}"
    return f"{place.kind}{name} ({at}), {_count(place.files, 'file')}: {where}."


def place_warnings(place: PlaceRead) -> tuple[str, ...]:
    """Return what speaks against taking a place's weather for the site's."""
    found = []
    if place.distance_km > FAR_KM:
        found.append(
            f"Warning: {_kilometres(place)} away, this may be the weather of another climate."
        )
    if abs(place.height_m) > HIGHER_M:
        degrees_c = COLDER_PER_KM_C * abs(place.height_m) / 1000.0
        differs = with_unit(f"{degrees_c:.0f}", "°C")
        where, site = ("higher", "warmer") if place.height_m > 0 else ("lower", "colder")
        found.append(
            f"Warning: it lies {_metres(abs(place.height_m))} {where} than the site, which is then"
            f" some {differs} {site}; temperatures are taken as they are."
        )
    if abs(place.lag_min) > LATE_MIN:
        by = with_unit(f"{abs(place.lag_min):.0f}", "min")
        late, duller = (
            ("later", "mornings are duller than afternoons")
            if place.lag_min > 0
            else ("earlier", "afternoons are duller than mornings")
        )
        found.append(
            f"Warning: its light comes {by} {late} than the sun stands"
            f" there: {duller}, as under fog or thunderclouds, or the file's hours or its place are"
            " not right."
        )
    return tuple(found)


def _metres(height_m: float) -> str:
    return with_unit(f"{height_m:.0f}", "m")


def _kilometres(place: PlaceRead) -> str:
    return with_unit(f"{place.distance_km:.0f}", "km")


def year_line(year: WeatherYear) -> str:
    """Return how many days of a year there are, and how many have gaps."""
    days = len(year.clearness)
    name = "Typical year" if year.typical else f"{year.start.year}"
    begin = "" if year.typical else f" from {year.start.isoformat()}"
    gaps = (_gaps(year.clearness, "light"), _gaps(year.low_c, "temperatures"))
    missing = " and ".join(gap for gap in gaps if gap)
    return f"{name}: {_count(days, 'day')}{begin}, {missing or 'no gap'}."


def _gaps(values: Sequence[float], of: str) -> str:
    count = sum(map(isnan, values))
    return f"{count} without {of}" if count else ""


def _count(number: int, noun: str) -> str:
    return f"{number} {noun}" if number == 1 else f"{number} {noun}s"


def _doubts(found: WeatherImport) -> Iterator[str]:
    if found.repeated_days:
        yield (
            f"{_count(found.repeated_days, 'date')} stood in more than one file; the fuller was"
            " taken, else the first."
        )
    if found.too_bright_days:
        yield (
            f"{_count(found.too_bright_days, 'day')} held more light than falls above the"
            " atmosphere and counted as a gap."
        )
    if found.months.missing:
        names = ", ".join(MONTH_NAMES[month - 1] for month in found.months.missing)
        yield f"Too few days of {names}: what the scenario gave for them stays."


def _scales(found: WeatherImport) -> Iterator[str]:
    scales = found.scales
    if scales is None:
        return
    yield (
        f"By {scales.days} days with cloud cover, clear days here have {scales.clear_ratio:.2f} of"
        " the light that the word clear stands for, clouds take"
        f" {scales.losses:.2f} times what the other words take from that, and days of one word"
        f" differ {scales.spread:.2f} times as much as the table of words has it."
    )
    if scales.within_bounds:
        yield "The words for a sky are scaled so at this site."
    else:
        bounds = ", ".join(f"{low:g} to {high:g}" for low, high in SCALE_BOUNDS)
        yield f"That is beyond {bounds}: the words for a sky are not scaled."


@dataclass(frozen=True)
class MonthRow:
    """One number of the twelve months, as it was before or as it becomes."""

    name: str
    unit: str
    decimals: int
    values: tuple[float, ...]
    is_before: bool = False


def month_rows(found: WeatherImport) -> tuple[MonthRow, ...]:
    """Return the numbers of the twelve months before and after."""
    rows = []
    for key, name, unit, decimals in (
        ("clearness", "clearness", "", 2), ("low_c", "low", "°C", 1), ("high_c", "high", "°C", 1)
    ):  # fmt: skip
        if found.before:
            before = tuple(getattr(found.before, key))
            rows.append(MonthRow(name, unit, decimals, before, is_before=True))
        rows.append(MonthRow(name, unit, decimals, tuple(getattr(found.climate, key))))
    return tuple(rows)


def month_table(rows: Sequence[MonthRow]) -> tuple[str, ...]:
    """Return the twelve months as lines of one width."""
    heads = "".join([" " * 15, *(f"{name:>6}" for name in MONTH_NAMES)])
    return (heads, *map(_month_line, rows))


def _month_line(row: MonthRow) -> str:
    label = f"{row.name} {row.unit}".strip() + (", was" if row.is_before else "")
    return "".join([f"{label:<15}", *(f"{value:6.{row.decimals}f}" for value in row.values)])
