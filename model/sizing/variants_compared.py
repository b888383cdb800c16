"""A scenario and its variants side by side: how each station ends, and what it weighs."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from math import inf

from model.advice.advice import rerun
from model.editing.faults import ScenarioError
from model.editing.variants import variant_of, without_variants
from model.engine.comparison import why_withheld
from model.engine.run import StationRun
from model.results.tie_point import first_end_h
from model.results.wording import CLOCK_WORDS, whole_run, why
from model.scenario.scenario import Scenario, Variant
from model.station.carried_mass import carried_total, shared_extras
from model.support.progress import Search
from model.verdict.order import first_clock
from model.verdict.sentences import said_moment


@dataclass(frozen=True)
class Fate:
    """What becomes of one station in one version.

    Attributes
    ----------
    first_end_h : when the first clock ends, inf where none does, None without a run [h].
    ends : which clock ends and when, or that it lasts, or why there is no run.
    why : why it ends; empty where it lasts.
    lowest_fraction : least charge, None without a run [1].
    mass_kg : of all that is carried [kg].
    """

    first_end_h: float | None
    ends: str
    why: str
    lowest_fraction: float | None
    mass_kg: float


@dataclass(frozen=True)
class Version:
    """The scenario itself, or one of its variants.

    Attributes
    ----------
    variant : None for the scenario itself.
    scenario : what it comes to; None where the variant does not fit, with why in ``misfit``.
    fates : one for each station.
    """

    variant: Variant | None
    scenario: Scenario | None
    misfit: str
    fates: tuple[Fate, ...]


def search_versions(scenario: Scenario) -> Search[tuple[Version, ...]]:
    """Run every station of the scenario and of each variant in steps of one minute."""
    found = []
    asked = (None, *scenario.variants)
    for place, variant in enumerate(asked):
        made, misfit = _made(scenario, variant)
        fates = []
        for index in range(len(made.stations)) if made is not None else ():
            yield (place + index / len(scenario.stations)) / len(asked)
            assert made is not None
            fates.append(fate_of(made, index))
        found.append(Version(variant, made, misfit, tuple(fates)))
    return tuple(found)


def _made(scenario: Scenario, variant: Variant | None) -> tuple[Scenario | None, str]:
    if variant is None:
        return without_variants(scenario), ""
    try:
        return variant_of(scenario, variant.name), ""
    except ScenarioError as error:
        return None, "; ".join(fault.message for fault in error.faults)


def fate_of(scenario: Scenario, index: int) -> Fate:
    """Return what becomes of one station of a scenario, in steps of one minute."""
    mass_kg = carried_total(scenario.stations[index], shared_extras(scenario, index)).mass_kg
    withheld = why_withheld(scenario, index)
    if withheld is not None:
        return Fate(None, f"not calculated: {withheld}", "", None, mass_kg)
    run = rerun(scenario, index)
    ends, reason = _end(run)
    return Fate(first_end_h(run), ends, reason, run.lowest.value, mass_kg)


def _end(run: StationRun) -> tuple[str, str]:
    found = first_clock(run)
    if found is None:
        return f"lasts {whole_run(run.clock.days)}", ""
    name, clock = found
    assert clock.until is not None
    assert clock.cause is not None
    at = said_moment(run, clock.until)
    ends = f"off the air from {at}" if name == "receive" else f"{CLOCK_WORDS[name]} until {at}"
    return ends, why(run, clock)


@dataclass(frozen=True)
class Difference:
    """One station of a variant less the same station of the scenario; None where either has none.

    Attributes
    ----------
    end_h : later by so many hours; inf or -inf where only one of the two lasts [h].
    lowest_fraction : more charge left at the lowest [1].
    mass_kg : heavier [kg].
    """

    end_h: float | None
    lowest_fraction: float | None
    mass_kg: float


def differences(base: Version, other: Version) -> Iterator[Difference]:
    """Yield the difference of each station of a variant to the scenario itself."""
    for fate, own in zip(other.fates, base.fates, strict=True):
        yield Difference(
            _less(fate.first_end_h, own.first_end_h),
            _less(fate.lowest_fraction, own.lowest_fraction),
            fate.mass_kg - own.mass_kg,
        )


def _less(one: float | None, other: float | None) -> float | None:
    if one is None or other is None:
        return None
    return 0.0 if one == other == inf else one - other
