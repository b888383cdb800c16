"""The inputs a map of break-even can run along, with values about those of the scenario."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

from model.editing.paths import value_at
from model.results.wording import name_at
from model.scenario.scenario import Scenario
from model.sizing.axes import Axis, night_axis, night_h, number_axis, power_axis, sending_share_axis
from model.station.transmit_path import highest_planned_w

STEPS = 13
RECEIVE_BY = 10.0
SHARES = (0.02, 0.05, 0.1, 0.15, 0.2, 0.25, 0.3, 0.35, 0.4, 0.5, 0.6)
LEAST_W = 1.0


@dataclass(frozen=True)
class MapInput:
    """One input that a map can be drawn over.

    Attributes
    ----------
    key, title : what it is called.
    in_ratios : whether its values are equal ratios apart.
    decimals : of its values.
    now : its value in the scenario [unit of the axis].
    axis : makes the axis.
    """

    key: str
    title: str
    in_ratios: bool
    decimals: int
    now: float
    axis: Callable[[], Axis]


def map_inputs(scenario: Scenario) -> tuple[MapInput, ...]:
    """Return the inputs this scenario has: receive currents, sending share, night and power."""
    found = []
    for index in range(len(scenario.stations)):
        path = f"stations.{index}.radio.receive_a"
        now_a = float(value_at(scenario, path))
        if now_a > 0:
            values = _ratios(now_a / RECEIVE_BY, now_a * RECEIVE_BY, now_a)
            title = f"receive current of {name_at(scenario, index)}"
            axis = _number_axis(scenario, path, values)
            found.append(MapInput(path, title, True, 3, now_a, axis))
    sending = [block for block in scenario.plan if block.sends]
    if sending:
        # Blocks differ: the one in the middle stands for all.
        share = sorted(block.transmit_share for block in sending)[len(sending) // 2]
        shares = sorted({*SHARES, share})
        axis = _of(sending_share_axis, shares)
        found.append(MapInput("share", "share spent transmitting", False, 2, share, axis))
        now_w = max(block.rf_w for block in sending)
        most_w = max(
            now_w, *(highest_planned_w(station, scenario.plan) for station in scenario.stations)
        )
        powers = _ratios(min(LEAST_W, now_w / 2), 2 * most_w, now_w)
        axis = _of(power_axis, powers)
        found.append(MapInput("power", "RF power asked for", True, 1, now_w, axis))
    found.append(
        MapInput("night", "length of the night", False, 1, night_h(scenario), _night_axis(scenario))
    )
    return tuple(found)


def _ratios(low: float, high: float, now: float) -> list[float]:
    step = (high / low) ** (1 / (STEPS - 1))
    values = [low * step**place for place in range(STEPS)]
    # What it is now stands on the map, in place of its nearest neighbour.
    nearest = min(range(STEPS), key=lambda place: abs(values[place] / now - 1))
    return [now if place == nearest else float(f"{v:.3g}") for place, v in enumerate(values)]


def _of(build: Callable[[list[float]], Axis], values: list[float]) -> Callable[[], Axis]:
    return lambda: build(values)


def _number_axis(scenario: Scenario, path: str, values: list[float]) -> Callable[[], Axis]:
    return lambda: number_axis(scenario, path, values)


def _night_axis(scenario: Scenario) -> Callable[[], Axis]:
    return lambda: night_axis(scenario)
