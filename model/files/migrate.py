"""Files of format 1, brought to format 2 as raw tables before anything is checked.

What changed: eighths of cloud became the day's clear-sky index, ``[season]`` became ``[climate]``
with clearness in place of cloud, and weather given for each day belongs to local dates. Eighths go
through the table of whole days; a month's clearness is that of the clear sky at the place and month
times the index of its mean cover. A file that gives no cloud keeps the clear sky's own light, as
before. Paths that named cloud or season in variants, in lessons and in changes typed by hand are
rewritten with their values. All else stays as it is.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from typing import Any

from pydantic import ValidationError

from model.editing.faults import Fault, quoted_path, shown
from model.scenario.daily import DAYS_LIMIT
from model.scenario.scenario import FORMAT, Site, pairs_below
from model.sky.cloud_words import cover_class

CLOUD, SEASON = "day.cloud_okta", "season"
MONTHS_CLOUD = "season.cloud_okta"
BY_DATES = (
    "Weather given for each day now belongs to local dates, from midnight to midnight; it used to"
    " change at the hour of the start."
)
BY_MONTHS = (
    "Typical months are now a climate: eighths of cloud became clearness, the light over that above"
    " the atmosphere, worked out for this place."
)
_IN_BRACES = re.compile(r"\{[^{}]*\}")
_OLD_PATH = re.compile(r"(?<![\w.])(day\.cloud_okta|season\.cloud_okta|season)(?=\.\w)")


@dataclass
class Migration:
    """A table on its way, with what was wrong in it and what changes in the answer."""

    table: dict[str, Any]
    faults: list[Fault] = field(default_factory=list)
    remarks: list[str] = field(default_factory=list)


def is_old(table: Mapping[str, Any]) -> bool:
    """Whether a file's table says that it is of format 1."""
    return table.get("format") == 1 and not isinstance(table["format"], bool)


def migrated(table: Mapping[str, Any]) -> Migration:
    """Return a scenario's table in format 2; the one given stays as it is.

    Faults name the places of the old file. What is of the wrong kind altogether is left for the
    reader of scenarios to refuse.
    """
    done = Migration({**table, "format": FORMAT})
    place = _place(table)
    _day(done)
    _season(done, place)
    _variants(done, place)
    return done


def migrated_changes(changes: Mapping[str, Any], site: Any = None) -> dict[str, Any]:
    """Return changes by path, such as those typed after ``--set``, with paths of format 2.

    Parameters
    ----------
    site : the table or value of the place that clearness is worked out for.

    Raises
    ------
    ValueError
        When eighths of cloud are outside 0 to 8, or no number; says what is right.
    """
    place = site if isinstance(site, Site) else _place({"site": site})
    return {path: value for old, given in pairs_below(changes)
            for path, value in _change(old, given, place)}  # fmt: skip


def migrated_lesson(table: Mapping[str, Any], site: Any) -> Migration:
    """Return a lesson's table with its own edits and formulas in format 2.

    A scenario that stands in the lesson is a table of its own: see ``migrated``.

    Parameters
    ----------
    site : the place of the lesson's scenario, None where that could not be read.
    """
    done = Migration({**table, "format": FORMAT})
    place = site if isinstance(site, Site) else None
    if isinstance(table.get("steps"), list):
        done.table["steps"] = _lesson_part(done, table["steps"], "steps", place)
    return done


def lesson_of_format_3(table: Mapping[str, Any]) -> dict[str, Any]:
    """Return a lesson's table of format 2 in format 3: minutes stand in the parts of a question."""
    found = {**table, "format": 3}
    found.pop("minutes", None)
    if isinstance(table.get("steps"), list):
        found["steps"] = [
            {
                "show" if key == "hidden" else key: value
                for key, value in {"hidden": ["charge"], **step}.items()
            }
            if isinstance(step, Mapping)
            else step
            for step in table["steps"]
        ]
    return found


def _lesson_part(done: Migration, part: Any, at: str, place: Site | None) -> Any:
    """Return what stands below a step, with its edits and formulas rewritten."""
    if isinstance(part, list):
        return [
            _lesson_part(done, entry, f"{at}.{index}", place) for index, entry in enumerate(part)
        ]
    if not isinstance(part, Mapping):
        return migrated_text(part) if isinstance(part, str) else part
    found: dict[str, Any] = {}
    for key, value in part.items():
        below = f"{at}.{key}"
        if key == "changes" and isinstance(value, Mapping):
            found[key] = _changes_at(done, value, below, place)
        elif key == "drops" and isinstance(value, list):
            found[key] = [migrated_path(path) if isinstance(path, str) else path for path in value]
        elif key == "path" and isinstance(value, str):
            found[key] = migrated_path(value)
        elif (key == "value" or at.endswith(".numbers")) and isinstance(value, str):
            found[key] = migrated_formula(value)
        else:
            found[key] = _lesson_part(done, value, below, place)
    return found


def migrated_path(path: str) -> str:
    """Return what a path of format 1 is called in format 2."""
    for old, new in ((CLOUD, "day.sky"), (MONTHS_CLOUD, "climate.clearness"), (SEASON, "climate")):
        if path == old or path.startswith(f"{old}."):
            return new + path[len(old) :]
    return path


def migrated_text(text: str) -> str:
    """Return a text of a lesson whose formulas name paths of format 1 with those of format 2."""
    return _IN_BRACES.sub(lambda found: migrated_formula(found[0]), text)


def migrated_formula(formula: str) -> str:
    """Return a formula of a lesson with its paths of format 1 as those of format 2."""
    return _OLD_PATH.sub(lambda found: migrated_path(found[0]), formula)


def old_place(path: str) -> str:
    """Return the place in a file of format 1 that a fault of its migrated table is about."""
    for new, old in (("day.sky", CLOUD), ("climate.clearness", MONTHS_CLOUD), ("climate", SEASON)):
        if path == new or path.startswith(f"{new}."):
            return old + path[len(new) :]
    return path


def _place(table: Mapping[str, Any]) -> Site | None:
    try:
        return Site.model_validate(table.get("site"), by_alias=True, by_name=False)
    except ValidationError:
        # The reader says what is wrong with it; no clearness is needed of a refused file.
        return None


def _day(done: Migration) -> None:
    day = done.table.get("day")
    if not isinstance(day, Mapping):
        return
    changed = dict(day)
    if "cloud_okta" in changed:
        given = changed.pop("cloud_okta")
        try:
            changed["sky"] = _indices(given)
            done.remarks.append(_cloud_words(given))
        except ValueError as error:
            done.faults.append(Fault(CLOUD, str(error)))
    if any(isinstance(day.get(name), list) and len(day[name]) > 1
           for name in ("cloud_okta", "low_c", "high_c")):  # fmt: skip
        done.remarks.append(BY_DATES)
    done.table["day"] = changed


def _season(done: Migration, place: Site | None) -> None:
    if SEASON not in done.table:
        return
    season = done.table.pop(SEASON)
    if not isinstance(season, Mapping):
        done.faults.append(Fault(SEASON, f"must be a table, got {shown(season)}"))
        return
    climate = dict(season)
    if "cloud_okta" not in climate:
        done.faults.append(Fault(MONTHS_CLOUD, "is missing"))
    else:
        try:
            climate["clearness"] = _clearness(climate.pop("cloud_okta"), place)
            done.remarks.append(BY_MONTHS)
        except ValueError as error:
            done.faults.append(Fault(MONTHS_CLOUD, str(error)))
    # What stood here is refused already: the reader need not miss it as well.
    climate.setdefault("clearness", [0.5] * 12)
    done.table["climate"] = climate


def _variants(done: Migration, place: Site | None) -> None:
    variants = done.table.get("variants")
    if not isinstance(variants, list):
        return
    done.table["variants"] = [
        _variant(done, variant, f"variants.{index}", place)
        if isinstance(variant, Mapping)
        else variant
        for index, variant in enumerate(variants)
    ]


def _variant(
    done: Migration, variant: Mapping[str, Any], at: str, place: Site | None
) -> dict[str, Any]:
    changed = dict(variant)
    changes, left_out = variant.get("changes"), variant.get("left_out")
    if isinstance(changes, Mapping):
        changed["changes"] = _changes_at(done, changes, f"{at}.changes", place)
    if isinstance(left_out, list):
        changed["left_out"] = [
            migrated_path(path) if isinstance(path, str) else path for path in left_out
        ]
    return changed


def _changes_at(
    done: Migration, changes: Mapping[str, Any], at: str, place: Site | None
) -> dict[str, Any]:
    found: dict[str, Any] = {}
    for path, value in pairs_below(changes):
        try:
            found |= dict(_change(path, value, place))
        except ValueError as error:
            done.faults.append(Fault(f"{at}.{quoted_path(path)}", str(error)))
    return found


def _change(path: str, value: Any, place: Site | None) -> Iterator[tuple[str, Any]]:
    """Yield what a change of format 1 is in format 2."""
    new = migrated_path(path)
    if path == MONTHS_CLOUD:
        value = _clearness(value, place)
    elif path.startswith(f"{MONTHS_CLOUD}."):
        month = path.rpartition(".")[2]
        if month.isdecimal() and int(month) < 12:
            value = _clearness([value] * 12, place)[int(month)]
    elif path == CLOUD or path.startswith(f"{CLOUD}."):
        value = _indices(value)
    yield new, value


def _indices(given: Any) -> Any:
    """Return the index of eighths of cloud, or those of a list."""
    if isinstance(given, list | tuple):
        if not 0 < len(given) <= DAYS_LIMIT:
            raise ValueError(f"must hold one number or up to {DAYS_LIMIT}, got {len(given)}")
        return [_index(okta) for okta in given]
    return _index(given)


def _index(okta: Any) -> float:
    if not isinstance(okta, int | float) or isinstance(okta, bool) or not 0 <= okta <= 8:
        raise ValueError(f"must be from 0 to 8, got {shown(okta)}")
    return cover_class(okta).index


def _clearness(given: Any, place: Site | None) -> list[float]:
    # Only a file of format 1 needs what light a month has.
    from model.sky.climate_light import monthly_clearness

    if not isinstance(given, list | tuple) or len(given) != 12:
        count = len(given) if isinstance(given, list | tuple) else shown(given)
        raise ValueError(f"must hold 12 numbers, got {count}")
    index = tuple(_index(okta) for okta in given)
    if place is None:
        # Only where the place is refused: then nothing of the file is used.
        return list(index)
    return [round(value, 3) for value in monthly_clearness(place, index)]


def _cloud_words(given: Any) -> str:
    """Say what eighths counted as before and what they count as now."""
    eighths = dict.fromkeys(given if isinstance(given, list | tuple) else [given])
    counted = ", ".join(
        f"{okta:g}/8 as {_index(okta):.2f} of clear instead of {1 - 0.75 * (okta / 8) ** 3.4:.2f}"
        for okta in eighths
    )
    return (
        "Eighths of cloud are now counted as a day's mean, by what such days gave in weather"
        f" files: {counted}."
    )
