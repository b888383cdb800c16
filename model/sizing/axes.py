"""Inputs that a map may run along: one number of one station, or one of the plan or the date."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from datetime import timedelta

from model.editing.field_facts import field_at
from model.editing.paths import value_at, with_value
from model.scenario.scenario import Scenario
from model.sky.sun_times import night_spans

# Above this share a slotted mode would send in adjacent slots.
SLOTS_MOST_SHARE = 0.42
NIGHTS = 12


@dataclass(frozen=True)
class Axis:
    """One side of a map.

    Attributes
    ----------
    label, unit : of the input.
    values : rising [unit].
    changed : returns a scenario with the input at the n-th value.
    """

    label: str
    unit: str
    values: tuple[float, ...]
    changed: Callable[[Scenario, int], Scenario]


def number_axis(scenario: Scenario, path: str, values: Sequence[float]) -> Axis:
    """Return an axis along one number of a scenario.

    Parameters
    ----------
    scenario : what is changed.
    path : of the number.
    values : what it takes, rising [unit of its field].

    Returns
    -------
    Label, unit and values of the number.

    Raises
    ------
    KeyError
        When the scenario has no such number.
    """
    facts = field_at(path)
    value_at(scenario, path)
    rising = tuple(sorted(values))
    return Axis(
        facts.label, facts.unit, rising, lambda given, at: with_value(given, path, rising[at])
    )


def sending_share_axis(values: Sequence[float]) -> Axis:
    """Return an axis along the share of time spent sending, in every block that sends.

    Parameters
    ----------
    values : shares, rising [1].

    Returns
    -------
    Label, unit and values.
    """
    rising = tuple(sorted(values))

    def changed(given: Scenario, at: int) -> Scenario:
        plan = tuple(
            block.model_copy(
                update={
                    "transmit_share": min(rising[at], SLOTS_MOST_SHARE)
                    if block.activity == "slots"
                    else rising[at]
                }
            )
            if block.sends
            else block
            for block in given.plan
        )
        return with_value(given, "plan", plan)

    return Axis(field_at("plan.0.transmit_share").label, "", rising, changed)


def power_axis(values: Sequence[float]) -> Axis:
    """Return an axis along the RF power asked for, in every block that sends.

    Parameters
    ----------
    values : powers, rising [W].

    Returns
    -------
    Label, unit and values.
    """
    rising = tuple(sorted(values))

    def changed(given: Scenario, at: int) -> Scenario:
        plan = tuple(
            block.model_copy(update={"rf_w": rising[at]}) if block.sends else block
            for block in given.plan
        )
        return with_value(given, "plan", plan)

    return Axis(field_at("plan.0.rf_w").label, "W", rising, changed)


def night_axis(scenario: Scenario, count: int = NIGHTS) -> Axis:
    """Return an axis along the length of the night, by the dates of half a year. [h]

    Dates whose night is as long as one before, as within a polar summer, are left out.
    """
    nights: dict[float, Scenario] = {}
    solstice = scenario.day.date.replace(month=6, day=21)
    for step in range(count):
        date = solstice + timedelta(days=round(step * 183 / (count - 1)))
        dated = with_value(scenario, "day.date", date)
        nights.setdefault(round(night_h(dated), 2), dated)
    rising = tuple(sorted(nights))
    return Axis(
        "Length of the night",
        "h",
        rising,
        lambda given, at: with_value(given, "day.date", nights[rising[at]].day.date),
    )


def night_h(scenario: Scenario) -> float:
    """Return the darkness, sun below -6 degrees, of a day of the run.

    Parameters
    ----------
    scenario : place and days.

    Returns
    -------
    Mean over the days [h].
    """
    spans = night_spans(scenario.site, scenario.day)
    dark = sum(((end - begin).total_seconds() for begin, end in spans), 0.0)
    return dark / 3600 / scenario.day.days
