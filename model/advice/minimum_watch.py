"""The leanest ways to keep a station in touch, for when the battery gets low."""

from __future__ import annotations

from collections.abc import Iterator

from model.advice.actions import SHORT_WATCH_SHARE, Action
from model.scenario.kinds import KINDS, PartKind
from model.scenario.scenario import Block, Scenario
from model.scenario.station import Extra
from model.station.loads import DATA_ACTIVITIES


def last_resorts(scenario: Scenario, index: int) -> Iterator[Action]:
    """Yield what is left when the habits are used up: no watch between nets, no transmitting."""
    deaf = _with_plan(scenario, _deaf_between_nets(scenario.plan))
    if deaf != scenario and any(block.sends for block in scenario.plan):
        yield Action(
            "deaf",
            "habit",
            "switch the radio off between nets",
            "You would miss all calls outside nets",
            deaf,
        )
    silent = _with_plan(scenario, _silent(scenario.plan))
    if silent != scenario:
        yield Action(
            "silent", "habit", "only listen, transmit nothing", "Nobody would hear you", silent
        )


def leanest(scenario: Scenario, index: int) -> Scenario:
    """Return the scenario with one station doing nothing but a watch of five minutes an hour."""
    station = scenario.stations[index]
    bare = station.model_copy(
        update={
            **{kind.slot: kind.none for kind in KINDS if _can_do_without(kind)},
            "extras": tuple(_silent_extra(extra) for extra in station.extras),
        }
    )  # fmt: skip
    others = tuple(
        other.model_copy(update={"extras": tuple(_silent_extra(extra) for extra in other.extras)})
        for other in scenario.stations
    )
    stations = (*others[:index], bare, *others[index + 1 :])
    watch = Block(start="00:00", end="24:00", activity="watch", listen_share=SHORT_WATCH_SHARE)
    return scenario.model_copy(update={"stations": stations, "plan": (watch,)})


def unbroken_watch(scenario: Scenario) -> Scenario:
    """Return the scenario with nothing planned but listening, day and night."""
    return _with_plan(scenario, (Block(start="00:00", end="24:00", activity="watch"),))


def _with_plan(scenario: Scenario, plan: tuple[Block, ...]) -> Scenario:
    return scenario.model_copy(update={"plan": plan})


def _deaf_between_nets(plan: tuple[Block, ...]) -> tuple[Block, ...]:
    return tuple(
        block.model_copy(update={"listen_share": 0.0}) if block.activity == "watch" else block
        for block in plan
    )


def _silent(plan: tuple[Block, ...]) -> tuple[Block, ...]:
    # A data block that is only listened to still needs its computer, so it keeps its activity.
    return tuple(
        block.model_copy(
            update={
                "activity": block.activity if block.activity in DATA_ACTIVITIES else "watch",
                "transmit_share": 0.0,
            }
        )
        if block.sends
        else block
        for block in plan
    )


def _can_do_without(kind: PartKind) -> bool:
    return kind.role == "load" and not kind.is_needed and kind.slot != "extras"


def _silent_extra(extra: Extra) -> Extra:
    return extra.model_copy(update={"power_w": None, "current_a": None})
