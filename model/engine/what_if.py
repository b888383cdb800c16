"""Many what-ifs in one call: a scenario with some values changed, a row for each change."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Mapping, Sequence
from itertools import pairwise
from typing import Any

import numpy as np
import pandas as pd

from model.editing.faults import Fault, ScenarioError
from model.editing.paths import with_values
from model.engine.batch import run_batch
from model.engine.comparison import COARSE_STEP_MIN, why_withheld
from model.engine.fleet import fleet_of, kind_of
from model.engine.inputs import Inputs, station_inputs
from model.scenario.scenario import Scenario
from model.sky.trip import planned
from model.station.carried_mass import shared_extras

CLOCKS = ("full_power", "reduced_power", "receive")


def what_if(
    scenario: Scenario,
    changes: Mapping[str, Sequence[Any]],
    *,
    step_min: float = COARSE_STEP_MIN,
) -> pd.DataFrame:
    """Run a scenario with values changed together, once for each place in the lists.

    Kits that differ in numbers only go through the array form of the step rule at once.

    Parameters
    ----------
    changes : by dotted path, such as ``{"stations.0.battery.capacity_ah": [10, 20, 30]}``; all
        lists are of one length, and row i takes the i-th of each.
    step_min : length of a step [min].

    Returns
    -------
    DataFrame
        A row for each what-if and station: ``row``, ``station``, the changed values by their
        path, ``full_power_h``, ``reduced_power_h``, ``receive_h`` and ``reserve_h`` (hours from
        the start until each first fails, inf where it lasts), ``lowest_fraction`` and
        ``end_fraction``; NaN where an error finding withholds the station.

    Raises
    ------
    ScenarioError
        When a path leads nowhere, a value is refused, or the lists differ in length.
    """
    lists = {path: list(values) for path, values in changes.items()}
    for (path, one), (other, values) in pairwise(lists.items()):
        if len(one) != len(values):
            words = f"holds {len(values)} values, and {path} holds {len(one)}; each row needs one"
            raise ScenarioError((Fault(other, words),))
    rows = [
        dict(zip(lists, map(_plain, values), strict=True))
        for values in zip(*lists.values(), strict=True)
    ]
    cases = [with_values(scenario, row) for row in rows]
    found = _outcomes(cases, step_min)
    return pd.DataFrame(
        {"row": row, "station": index, **rows[row], **found.get((row, index), {})}
        for row, case in enumerate(cases)
        for index in range(len(case.stations))
    )


def _plain(value: Any) -> Any:
    """Return a number of an array as a number of the language, which fields take."""
    return value.item() if isinstance(value, np.generic) else value


def _outcomes(
    cases: Sequence[Scenario], step_min: float
) -> dict[tuple[int, int], dict[str, float]]:
    alike: dict[Any, list[tuple[tuple[int, int], Inputs]]] = defaultdict(list)
    for row, case in enumerate(cases):
        for index, station in enumerate(case.stations):
            if why_withheld(case, index) is None:
                inputs = station_inputs(
                    case.site,
                    planned(case),
                    case.plan,
                    station,
                    shared_extras(case, index),
                    step_min,
                )
                alike[kind_of(inputs)].append(((row, index), inputs))
    found = {}
    for group in alike.values():
        places, members = zip(*group, strict=True)
        outcome = run_batch(fleet_of(members))
        columns = {f"{name}_h": outcome.hours(getattr(outcome, name)) for name in CLOCKS}
        columns["reserve_h"] = outcome.hours(outcome.reserve)
        columns["lowest_fraction"] = outcome.lowest_fraction
        columns["end_fraction"] = outcome.end_fraction
        for member, place in enumerate(places):
            found[place] = {name: float(values[member]) for name, values in columns.items()}
    return found
