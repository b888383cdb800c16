"""A scenario in which one station carries a larger or smaller battery or panel of its make."""

from __future__ import annotations

from dataclasses import dataclass

from app.number_text import plain
from model.carry import load
from model.compare import shared_extras
from model.parts import Station
from model.paths import with_value
from model.scaling import scaled_station
from model.scenario import Scenario


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

    A part that is made larger or smaller is another part: its name says its size, and none of its
    numbers counts as measured any more.

    Raises
    ------
    ScenarioError
        When a size is out of bounds.
    """
    old = scenario.stations[index]
    new = _scaled(old, pair)
    if new.battery.capacity_ah != old.battery.capacity_ah:
        words = f"{new.battery.chemistry}, {plain(new.battery.capacity_ah, 2)} Ah"
        battery = new.battery.model_copy(update={"name": words, "sources": ()})
        scenario = with_value(scenario, f"stations.{index}.battery", battery)
    if new.panel is None and old.panel is not None:
        return with_value(scenario, f"stations.{index}.panel", None)
    if new.panel is not None and old.panel is not None and new.panel != old.panel:
        words = f"panel, {plain(new.panel.rated_w, 1)} W"
        panel = new.panel.model_copy(update={"name": words, "sources": ()})
        scenario = with_value(scenario, f"stations.{index}.panel", panel)
    return scenario


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
