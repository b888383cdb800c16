"""Weather files into a scenario's climate: its years, the months they make, and what was read.

One call stands behind the command and whatever else imports weather: it reads all files, joins
those of one place, and returns the climate with everything that there is to say about it.
"""

from __future__ import annotations

import os
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import date as Date
from math import isfinite, isnan
from typing import NamedTuple

from model.editing.faults import Fault, ScenarioError
from model.files.atomic_write import shown_name
from model.files.weather_file import weather_bytes, weather_record
from model.scenario.climate import YEARS_LIMIT, Climate, WeatherYear
from model.scenario.scenario import Site
from model.sky.daily_weather import (
    DaySums,
    day_sums,
    joined,
    light_in_the_dark_share,
    light_lag_min,
)
from model.sky.great_circle import distance_km
from model.sky.sun_position import Spot
from model.sky.weather_years import Months, merged_years, months_of, weather_years
from model.sky.word_scales import WordScales, word_scales
from model.support.progress import Search, finish

FILES_LIMIT = 8000
# A tenth of all light while the sun is down: place or hours are not those of the light.
DARK_LIGHT_SHARE = 0.1
SOURCE_LIMIT = 200


class FileRead(NamedTuple):
    """One weather file, reduced to days.

    Attributes
    ----------
    name : of the file.
    kind, place, source : what it calls itself.
    spot : where the data are of.
    elevation_m : of that place [m].
    typical : months of various years spliced into one.
    days : what each local date sums up to.
    """

    name: str
    kind: str
    place: str
    source: str
    spot: Spot
    elevation_m: float
    typical: bool
    days: dict[Date, DaySums]


class PlaceRead(NamedTuple):
    """What was read of one place and kind.

    Attributes
    ----------
    kind, name, source : what the files call themselves.
    spot : where the data are of.
    files : how many files.
    distance_km : from the scenario's site.
    height_m : how much higher than the site, negative where lower.
    lag_min : by how much the light comes later than the sun.
    typical : months of various years spliced into one.
    """

    kind: str
    name: str
    source: str
    spot: Spot
    files: int
    distance_km: float
    height_m: float
    lag_min: float
    typical: bool


@dataclass(frozen=True)
class WeatherImport:
    """A climate as weather files make it, and what was read.

    Attributes
    ----------
    climate : what the scenario holds from now on.
    before : what it held.
    places : what was read, by place and kind.
    years : the years that these files hold.
    repeated_days : dates that more than one file holds; the fuller was taken, else the first.
    too_bright_days : dates with more light than falls above the air; they are gaps.
    months : means that the climate's years make; nan where days are missing.
    scales : how days stand to the table of words; None without cloud cover.
    """

    climate: Climate
    before: Climate | None
    places: tuple[PlaceRead, ...]
    years: tuple[WeatherYear, ...]
    repeated_days: int
    too_bright_days: int
    months: Months
    scales: WordScales | None


def import_weather(
    site: Site,
    before: Climate | None,
    paths: Sequence[str | os.PathLike[str]],
    *,
    replace_years: bool = False,
) -> WeatherImport:
    """Return the climate that the site has with these files.

    Parameters
    ----------
    site : place of the scenario.
    before : its climate; its years are kept unless they are replaced.
    paths : weather files, of one place or of several near the site.
    replace_years : forget the years there were.

    Raises
    ------
    ScenarioError
        When a file cannot be read, or the climate cannot be made; carries every fault.
    """
    return finish(search_import(site, before, paths, replace_years=replace_years))


def search_import(
    site: Site,
    before: Climate | None,
    paths: Sequence[str | os.PathLike[str]],
    *,
    replace_years: bool = False,
) -> Search[WeatherImport]:
    """Do what `import_weather` does, a file at a time."""
    if len(paths) > FILES_LIMIT:
        raise ScenarioError((Fault("", f"at most {FILES_LIMIT} files at once"),))
    files: list[FileRead] = []
    faults: list[Fault] = []
    for number, path in enumerate(paths):
        yield number / len(paths)
        try:
            files.append(file_read(weather_bytes(path), shown_name(path)))
        except ScenarioError as error:
            faults += error.faults
    if faults:
        raise ScenarioError(tuple(faults))
    return joined_files(site, before, files, replace_years=replace_years)


def file_read(data: bytes, name: str) -> FileRead:
    """Return one weather file, reduced to days.

    Parameters
    ----------
    data : the bytes of the file.
    name : of the file, for what is said of it.

    Raises
    ------
    ScenarioError
        When it is none, or a damaged one, or has light at night; one line that names the file.
    """
    record = weather_record(data, name)
    days = day_sums(record)
    if light_in_the_dark_share(days) > DARK_LIGHT_SHARE:
        words = "has light while the sun is down: its place or its hours are not those it names"
        raise ScenarioError((Fault("", f"{name}: {words}"),))
    return FileRead(
        name, record.kind, record.place, record.source, record.spot, record.elevation_m,
        record.typical, days,
    )  # fmt: skip


def joined_files(
    site: Site,
    before: Climate | None,
    files: Sequence[FileRead],
    *,
    replace_years: bool = False,
    left_out: frozenset[int] = frozenset(),
) -> WeatherImport:
    """Return the climate that the site has with files that were read.

    Parameters
    ----------
    site, before, replace_years : as in `import_weather`.
    left_out : which of the years that the files hold are not wanted, by their place among them.

    Raises
    ------
    ScenarioError
        When the climate cannot be made.
    """
    read = _Read(site)
    for file in files:
        read.add(file)
    of_files = read.years()
    new = tuple(year for place, year in enumerate(of_files) if place not in left_out)
    years = merged_years(before.years if before and not replace_years else (), new)
    if len(years) > YEARS_LIMIT:
        words = f"would hold {len(years)} years; at most {YEARS_LIMIT}"
        raise ScenarioError((Fault("climate.years", words),))
    days = read.all_days()
    months = months_of(read.spot, years)
    scales = word_scales(days)
    climate = _climate(before, years, months, scales, read.source(), replaced=replace_years)
    too_bright = sum(day.is_too_bright for day in days)
    return WeatherImport(
        climate, before, read.places(), of_files, read.repeated_days, too_bright, months, scales
    )


class _Read:
    """What has been read so far: days of the calendar together, typical years each for itself."""

    def __init__(self, site: Site) -> None:
        self._site = site
        self._dated: dict[Date, DaySums] = {}
        self._typical: list[dict[Date, DaySums]] = []
        self._places: dict[tuple[object, ...], PlaceRead] = {}
        self._days_of: dict[tuple[object, ...], dict[Date, DaySums]] = {}
        self.repeated_days = 0
        # Until a file names its place, the sun of the months is the site's.
        self.spot = Spot(site.latitude_deg, site.longitude_deg, site.elevation_m)

    def add(self, file: FileRead) -> None:
        if file.typical:
            self._typical.append(file.days)
        else:
            self._dated, repeated = joined(self._dated, file.days)
            self.repeated_days += repeated
        if not self._places:
            self.spot = file.spot
        key = (file.kind, file.place, file.spot, file.typical)
        known = self._places.get(key)
        of_place = self._days_of.get(key, {})
        self._days_of[key] = joined(of_place, file.days).days
        files = known.files + 1 if known else 1
        self._places[key] = PlaceRead(
            file.kind, file.place, file.source, file.spot, files,
            distance_km(file.spot, self._site), file.elevation_m - self._site.elevation_m,
            0.0, file.typical,
        )  # fmt: skip

    def places(self) -> tuple[PlaceRead, ...]:
        return tuple(
            place._replace(lag_min=light_lag_min(self._days_of[key]))
            for key, place in self._places.items()
        )

    def all_days(self) -> tuple[DaySums, ...]:
        return tuple(day for days in (self._dated, *self._typical) for day in days.values())

    def years(self) -> tuple[WeatherYear, ...]:
        found = list(weather_years(self._dated, typical=False))
        for days in self._typical:
            found += weather_years(days, typical=True)
        return merged_years((), found)

    def source(self) -> str:
        words = [
            " ".join(word for word in (place.kind, place.source, place.name) if word)
            for place in self._places.values()
        ]
        return "; ".join(dict.fromkeys(words))


def _climate(
    before: Climate | None,
    years: tuple[WeatherYear, ...],
    months: Months,
    scales: WordScales | None,
    source: str,
    *,
    replaced: bool,
) -> Climate:
    """Return the climate: months with days enough are those of the years, others stay."""
    if before is None and months.missing:
        missing = ", ".join(MONTH_NAMES[month - 1] for month in months.missing)
        words = (
            f"needs all twelve months, and these files hold too few days of {missing};"
            " add files, or write the twelve months into the scenario first"
        )
        raise ScenarioError((Fault("climate", words),))
    kept = before.source if before and not replaced else ""
    values: dict[str, object] = {
        "low_c": _months(months.low_c, before.low_c if before else (), 1),
        "high_c": _months(months.high_c, before.high_c if before else (), 1),
        "clearness": _months(months.clearness, before.clearness if before else (), 3),
        "source": _source((kept, source)),
        "years": years,
        **_scales(before, scales),
        "clearness_sd": before.clearness_sd if before else None,
    }
    if all(isfinite(spread) and 0.0 < spread <= 0.5 for spread in months.clearness_sd):
        values["clearness_sd"] = tuple(round(spread, 3) for spread in months.clearness_sd)
    return Climate.model_validate(values)


def _scales(before: Climate | None, found: WordScales | None) -> dict[str, float]:
    """Return the scales of words: those found, where a scenario may state them, or those before."""
    if found and found.within_bounds:
        values = found.clear_ratio, found.losses, found.spread
    elif before:
        values = before.clear_scale, before.loss_scale, before.spread_scale
    else:
        return {}
    names = "clear_scale", "loss_scale", "spread_scale"
    return {name: round(value, 3) for name, value in zip(names, values, strict=True)}


MONTH_NAMES = ("Jan", "Feb", "Mar", "Apr", "May", "Jun", "Jul", "Aug", "Sep", "Oct", "Nov", "Dec")


def _months(new: Iterable[float], old: Sequence[float], decimals: int) -> tuple[float, ...]:
    return tuple(
        old[month] if isnan(value) and old else round(value, decimals)
        for month, value in enumerate(new)
    )


def _source(parts: Iterable[str]) -> str:
    words = "; ".join(dict.fromkeys(part for whole in parts for part in whole.split("; ") if part))
    plain = "".join(mark if mark.isprintable() else " " for mark in words)
    return plain if len(plain) <= SOURCE_LIMIT else plain[: SOURCE_LIMIT - 1] + "…"
