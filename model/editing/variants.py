"""Named variants of a scenario: the same one with some values changed, kept in its file."""

from __future__ import annotations

import difflib
from collections.abc import Iterator
from functools import lru_cache
from typing import Any

from model.editing.differences import changed_paths
from model.editing.faults import Fault, ScenarioError, shown
from model.editing.field_facts import describe, field_at
from model.editing.paths import value_at, with_value, with_values
from model.editing.variant_faults import why_no_change, why_not_left_out
from model.scenario.declare import Source, listed
from model.scenario.scenario import CHANGES_LIMIT, Scenario, Variant

_TABLES = ("part", "list")


def without_variants(scenario: Scenario) -> Scenario:
    """Return the scenario alone."""
    return scenario.model_copy(update={"variants": ()}) if scenario.variants else scenario


def with_variant(scenario: Scenario, variant: Variant) -> Scenario:
    """Return the scenario with one more variant.

    Raises
    ------
    ScenarioError
        When there are too many, or one has its name.
    """
    return with_value(scenario, "variants", (*scenario.variants, variant))


def without_variant(scenario: Scenario, name: str) -> Scenario:
    """Return the scenario without one of its variants.

    Raises
    ------
    ScenarioError
        When it has none of that name.
    """
    gone = variant_named(scenario, name)
    rest = tuple(variant for variant in scenario.variants if variant is not gone)
    return scenario.model_copy(update={"variants": rest})


def renamed(scenario: Scenario, name: str, new_name: str) -> Scenario:
    """Return the scenario with another name for one of its variants.

    Raises
    ------
    ScenarioError
        When it has none of that name, or the new one is refused or taken.
    """
    at = scenario.variants.index(variant_named(scenario, name))
    tables = [variant.model_dump() for variant in scenario.variants]
    tables[at]["name"] = new_name
    return with_value(scenario, "variants", tables)


def variant_named(scenario: Scenario, name: str) -> Variant:
    """Return a variant by its name.

    Raises
    ------
    ScenarioError
        When there is none; names the nearest.
    """
    for variant in scenario.variants:
        if variant.name == name:
            return variant
    raise ScenarioError((Fault("variants", _no_such_name(scenario, name)),))


def _no_such_name(scenario: Scenario, name: str) -> str:
    names = [variant.name for variant in scenario.variants]
    none = f"none is called {_quoted(name)}"
    if not names:
        return f"{none}; this scenario holds no variants"
    folded = {known.casefold(): known for known in reversed(names)}
    nearest = difflib.get_close_matches(name.casefold()[:80], folded, n=1, cutoff=0.4)
    if nearest:
        return f"{none}; the nearest is {_quoted(folded[nearest[0]])}"
    return f"{none}; there are {', '.join(map(_quoted, names))}"


def _quoted(name: str) -> str:
    return shown(name).removeprefix("text ")


def variant_of(base: Scenario, name: str) -> Scenario:
    """Return the scenario that a variant stands for; it holds no variants.

    Raises
    ------
    ScenarioError
        When there is none of that name, or it does not fit this scenario.
    """
    variant = variant_named(base, name)
    at = f"variants.{base.variants.index(variant)}"
    bare = without_variants(base)
    misfits = why_unfit(bare, variant)
    if misfits:
        raise ScenarioError(tuple(Fault(at, words) for words in misfits))
    return with_values(bare, _changes_of(variant))


def _changes_of(variant: Variant) -> dict[str, Any]:
    return dict(variant.changes) | dict.fromkeys(variant.left_out)


@lru_cache(maxsize=128)
def why_unfit(bare: Scenario, variant: Variant) -> tuple[str, ...]:
    """Return why a variant cannot be made of a scenario; empty where it can.

    Parameters
    ----------
    bare : the scenario without its variants.
    """
    misfits = [words for words in _misplaced(bare, variant) if words]
    if misfits:
        return tuple(misfits)
    try:
        with_values(bare, _changes_of(variant))
    except KeyError as error:
        return (str(error.args[0]),)
    except ScenarioError as error:
        return tuple(f"{fault.path} {fault.message}" for fault in error.faults)
    return ()


def _misplaced(bare: Scenario, variant: Variant) -> Iterator[str | None]:
    for path, value in variant.changes:
        yield from (f"{path} {words}" for words in why_no_change(path, value))
        yield _why_no_place(bare, path)
    for path in variant.left_out:
        words = why_not_left_out(path)
        yield f"{path} {words}" if words else _why_no_place(bare, path)


def _why_no_place(bare: Scenario, path: str) -> str | None:
    """Return what a scenario lacks for a path, such as "station 1 has no panel"."""
    segments = path.split(".")
    for count in range(1, len(segments)):
        above = ".".join(segments[:count])
        try:
            if field_at(above).kind == "sources":
                return None
            is_there = value_at(bare, above) is not None
        except KeyError:
            is_there = False
        if not is_there:
            *owner, what = describe(above).split(", ")
            return f"{', '.join(owner) or 'the scenario'} has no {what}"
    return None


def as_variant(base: Scenario, changed: Scenario, name: str, note: str = "") -> Scenario:
    """Return the base with one more variant, which stands for the changed scenario.

    Raises
    ------
    ScenarioError
        When the name is refused or taken, nothing differs, or what differs is more than values
        and things left out.
    """
    changes: dict[str, Any] = {}
    left_out: list[str] = []
    bare, after = without_variants(base), without_variants(changed)
    for path in changed_paths(bare, after):
        for at, value in _as_values(bare, after, path):
            if value is None:
                left_out.append(at)
            else:
                changes[at] = value
    if not changes and not left_out:
        raise _refused("nothing differs from the scenario")
    if len(changes) > CHANGES_LIMIT or len(left_out) > CHANGES_LIMIT:
        raise _refused(f"more than {CHANGES_LIMIT} values differ: save it as a scenario instead")
    table = {"name": name, "note": note, "changes": changes, "left_out": left_out}
    held = [variant.model_dump() for variant in base.variants]
    return with_value(base, "variants", [*held, table])


def _refused(words: str) -> ScenarioError:
    return ScenarioError((Fault("variants", words),))


def _as_values(bare: Scenario, after: Scenario, path: str) -> Iterator[tuple[str, Any]]:
    """Yield the plain values a difference comes to; None where something is left out."""
    kind = field_at(path).kind
    wanted = value_at(after, path)
    if kind == "sources":
        yield from _sources_as_values(dict(value_at(bare, path)), dict(wanted), path)
    elif wanted is None:
        yield path, None
    elif kind in _TABLES:
        raise _refused(_too_much(path))
    else:
        yield path, _plain(after, path)


def _too_much(path: str) -> str:
    if field_at(path).kind == "list":
        return (
            f"{describe(path)}: the list is longer or shorter; a variant changes values and leaves"
            " parts out, and lists stay as long as they are"
        )
    return f"{describe(path)} was added; a variant changes values and leaves parts out, no more"


def _plain(scenario: Scenario, path: str) -> Any:
    """Return a value as a file writes it."""
    above, _, key = path.rpartition(".")
    owner = value_at(scenario, above)
    return listed(owner.model_dump(by_alias=True)[key])


def _sources_as_values(
    before: dict[str, Source], after: dict[str, Source], path: str
) -> Iterator[tuple[str, Any]]:
    for key in sorted(before.keys() | after.keys()):
        old, new = before.get(key), after.get(key)
        if new is None:
            yield f"{path}.{key}", None
            continue
        had = old.model_dump(by_alias=True) if old is not None else {}
        for name, value in new.model_dump(by_alias=True).items():
            if had.get(name) != value and (old is not None or value not in (None, "")):
                yield f"{path}.{key}.{name}", value
