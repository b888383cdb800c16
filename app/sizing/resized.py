"""A scenario in which one station carries a larger or smaller battery or panel of its make."""

from __future__ import annotations

from dataclasses import dataclass

from model.editing.paths import with_value
from model.engine.comparison import shared_extras
from model.engine.scaling import resized_battery, resized_panel, scaled_station
from model.scenario.scenario import Scenario
from model.scenario.station import Station
from model.station.carried_mass import load


@dataclass(frozen=True)
class Pair:
    """Rated size of all batteries and of all panels; no panel is 0 W."""

    capacity_ah: float
    rated_w: float

    @classmethod
    def of(cls, station: Station) -> Pair:
        """Return what a station carries."""
        battery, panel = station.battery, station.panel
        return cls(
            battery.capacity_ah * battery.count, panel.rated_w * panel.count if panel else 0.0
        )


def with_pair(scenario: Scenario, index: int, pair: Pair) -> Scenario:
    """Return the scenario with one station's battery and panel of other sizes.

    A part that is made larger or smaller is another part of the same make: its name says its
    size, and a number that was scaled counts as measured no more.

    Raises
    ------
    ScenarioError
        When a size is out of bounds.
    """
    old, now = scenario.stations[index], Pair.of(scenario.stations[index])
    battery, panel = f"stations.{index}.battery", f"stations.{index}.panel"
    if pair.capacity_ah != now.capacity_ah:
        resized = resized_battery(old.battery, pair.capacity_ah / now.capacity_ah)
        scenario = with_value(scenario, battery, resized)
    if old.panel is None or pair.rated_w == now.rated_w:
        return scenario
    if pair.rated_w <= 0 or now.rated_w <= 0:
        return with_value(scenario, panel, None)
    return with_value(scenario, panel, resized_panel(old.panel, pair.rated_w / now.rated_w))


def pair_kg(scenario: Scenario, index: int, pair: Pair) -> float:
    """Return what a station weighs with a pair [kg]."""
    return load(_scaled(scenario.stations[index], pair), shared_extras(scenario, index)).mass_kg


def _scaled(station: Station, pair: Pair) -> Station:
    now = Pair.of(station)
    battery_by = pair.capacity_ah / now.capacity_ah
    if now.rated_w > 0 and pair.rated_w > 0:
        return scaled_station(station, battery_by=battery_by, panel_by=pair.rated_w / now.rated_w)
    scaled = scaled_station(station, battery_by=battery_by)
    return scaled if pair.rated_w > 0 else scaled.model_copy(update={"panel": None})
