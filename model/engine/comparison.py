"""Run every station of a scenario through the same plan, sky and night."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from functools import cached_property

from model.engine.first_end import ClockName, hours_to_first_end
from model.engine.run import StationRun, run_station
from model.findings.rules import Finding, find, find_errors
from model.scenario.scenario import Scenario
from model.sky.irradiance import search_sun
from model.sky.timeline import Timeline, timeline
from model.sky.trip import planned
from model.station.carried_mass import shared_extras
from model.support.progress import Search, finish, within

# What is said, printed and filed rests on steps of this length.
STEP_MIN = 1.0
# Searches and sweeps step in ten minutes: the answer moves by less than what is known of the sky.
COARSE_STEP_MIN = 10.0


@dataclass(frozen=True, eq=False)
class Comparison:
    """All stations side by side.

    Attributes
    ----------
    scenario : the question; a comparison is never shown beside another one.
    runs : one for each station; None where an error finding withholds it.
    step_min : length of their steps [min].
    """

    scenario: Scenario
    runs: tuple[StationRun | None, ...]
    step_min: float = STEP_MIN

    @property
    def is_whole(self) -> bool:
        """Whether it may be put into words: a hand that moves is followed in longer steps."""
        return self.step_min == STEP_MIN

    @cached_property
    def findings(self) -> tuple[Finding, ...]:
        """Remarks at fields."""
        return find(self.scenario)

    @cached_property
    def clock(self) -> Timeline:
        """The steps all runs share."""
        return timeline(self.scenario.site, self.scenario.day, self.step_min)

    def findings_of(self, index: int) -> tuple[Finding, ...]:
        """Return the findings of one station."""
        return tuple(f for f in self.findings if concerns(f, index))


def simulate(scenario: Scenario, *, step_min: float = STEP_MIN, as_able: bool = True) -> Comparison:
    """Run every station of a scenario; the same scenario gives the same numbers, to the bit.

    Parameters
    ----------
    scenario : the question.
    step_min : length of a step [min].
    as_able : lower the power where the planned one does not hold; otherwise send regardless.

    Returns
    -------
    One run for each station; None where an error finding withholds it.
    """
    return finish(search_comparison(scenario, step_min=step_min, as_able=as_able))


def search_comparison(
    scenario: Scenario, *, step_min: float = STEP_MIN, as_able: bool = True
) -> Search[Comparison]:
    """Run one station after the other; a pure function of the scenario.

    Parameters
    ----------
    scenario : the question.
    step_min : length of a step [min].
    as_able : lower the power where the planned one does not hold; otherwise send regardless.

    Returns
    -------
    Gives the share done, 0..1, and at its end the comparison.
    """
    # The longest of what all stations share, in pieces; what is found needs it as well.
    yield from within(search_sun(scenario.site, scenario.day, step_min), 0.0, 0.0)
    withheld = _withheld(scenario)
    runs: list[StationRun | None] = []
    for index, station in enumerate(scenario.stations):
        yield index / len(scenario.stations)
        run = None
        if not _is_withheld(withheld, index):
            run = run_station(
                scenario.site,
                planned(scenario),
                scenario.plan,
                station,
                shared_extras(scenario, index),
                step_min=step_min,
                as_able=as_able,
            )
        runs.append(run)
    return Comparison(scenario, tuple(runs), step_min)


def first_ends_h(
    scenario: Scenario,
    stations: tuple[int, ...],
    *,
    step_min: float = 1.0,
    clock: ClockName | None = None,
) -> tuple[float | None, ...]:
    """Return when some stations first end, as their runs have it, for less than a run each.

    Parameters
    ----------
    scenario : the question.
    stations : which, from 0.
    step_min : length of a step [min].
    clock : which of the three; None takes whichever ends first.

    Returns
    -------
    Time from the start, inf where it never ends, None where an error withholds the station [h].
    """
    withheld = _withheld(scenario)
    return tuple(
        None
        if _is_withheld(withheld, index)
        else hours_to_first_end(
            scenario.site,
            planned(scenario),
            scenario.plan,
            scenario.stations[index],
            shared_extras(scenario, index),
            step_min=step_min,
            clock=clock,
        )
        for index in stations
    )


def why_withheld(scenario: Scenario, index: int) -> str | None:
    """Return the error finding that keeps a station from being run, None where none does."""
    for finding in find_errors(scenario):
        path = finding.path
        of_another = path.startswith("stations.") and not path.startswith(f"stations.{index}.")
        if not of_another:
            return finding.sentence
    return None


def concerns(finding: Finding, index: int) -> bool:
    """Return whether a finding is at a field of one station."""
    return finding.path.startswith(f"stations.{index}.")


def _withheld(scenario: Scenario) -> set[str]:
    """Return the paths of the errors that withhold runs."""
    return {each.path for each in find_errors(scenario) if each.withholds}


def _is_withheld(error_paths: Iterable[str], index: int) -> bool:
    """Return whether an error stands against a station, or against what all share."""
    return any(
        not path.startswith("stations.") or path.startswith(f"stations.{index}.")
        for path in error_paths
    )
