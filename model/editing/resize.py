"""A station with a larger or smaller battery or panel of the same make.

A scaled part is for a trial; a resized one is to be kept, and tells what it is.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any, TypeVar

from model.editing.paths import with_value
from model.scenario.declare import Source
from model.scenario.scenario import Scenario
from model.scenario.station import Battery, Panel, Station
from model.station.carried_mass import carried_total, shared_extras

# What a note of a source may hold.
NOTE_LIMIT = 400
SCALED = ("capacity_ah", "rated_w", "mass_kg", "resistance_ohm", "charge_limit_a",
          "discharge_limit_a")  # fmt: skip
Resizable = TypeVar("Resizable", Battery, Panel)


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
    station = with_trial_pair(scenario.stations[index], pair)
    return carried_total(station, shared_extras(scenario, index)).mass_kg


def with_trial_pair(station: Station, pair: Pair) -> Station:
    """Return a station with a battery and a panel of other sizes, for a trial."""
    now = Pair.of(station)
    battery_by = pair.capacity_ah / now.capacity_ah
    if now.rated_w > 0 and pair.rated_w > 0:
        return scaled_station(station, battery_by=battery_by, panel_by=pair.rated_w / now.rated_w)
    scaled = scaled_station(station, battery_by=battery_by)
    return scaled if pair.rated_w > 0 else scaled.model_copy(update={"panel": None})


def resized_battery(battery: Battery, by: float) -> Battery:
    """Return a battery of ``by`` times the Ah, to be kept: its name says its size.

    See ``_retold`` for its sources.
    """
    scaled = scaled_battery(battery, by)
    return _retold(scaled, f"{battery.chemistry}, {round(scaled.capacity_ah, 2):g} Ah")


def resized_panel(panel: Panel, by: float) -> Panel:
    """Return a panel of ``by`` times the watts, to be kept: its name says its size.

    See ``_retold`` for its sources.
    """
    scaled = scaled_panel(panel, by)
    return _retold(scaled, f"panel, {round(scaled.rated_w, 1):g} W")


def _retold(part: Resizable, name: str) -> Resizable:
    """Return a resized part with its name, and with what its numbers rest on now.

    A number that was scaled is a guess, whatever it was scaled from; the note says that. What
    belongs to the make, such as volts and efficiency, keeps its source.
    """
    sources = tuple(
        (key, _scaled_source(source) if key in SCALED else source) for key, source in part.sources
    )
    return part.model_copy(update={"name": name, "sources": sources})


def _scaled_source(source: Source) -> Source:
    if source.origin == "guess":
        return source
    on = f" on {source.on}" if source.on else ""
    told = f"scaled from another size: {source.origin}{on}"
    note = f"{told}; {source.note}" if source.note else told
    return Source(origin="guess", note=note[:NOTE_LIMIT])


def scaled_battery(battery: Battery, by: float) -> Battery:
    """Return a battery of ``by`` times the Ah: mass and limits grow alike, resistance shrinks."""
    changes: dict[str, Any] = {
        "capacity_ah": battery.capacity_ah * by,
        "mass_kg": battery.mass_kg * by,
        "resistance_ohm": battery.resistance_ohm / by,
    }
    for limit in ("charge_limit_a", "discharge_limit_a"):
        present = getattr(battery, limit)
        if present is not None:
            changes[limit] = present * by
    return battery.model_copy(update=changes)


def scaled_panel(panel: Panel, by: float) -> Panel:
    """Return a panel of ``by`` times the watts at the same volts; mass grows alike."""
    return panel.model_copy(update={"rated_w": panel.rated_w * by, "mass_kg": panel.mass_kg * by})


def scaled_station(station: Station, *, battery_by: float = 1.0, panel_by: float = 1.0) -> Station:
    """Return a station with its battery and its panel scaled."""
    changes: dict[str, Any] = {}
    if battery_by != 1.0:
        changes["battery"] = scaled_battery(station.battery, battery_by)
    if panel_by != 1.0 and station.panel is not None:
        changes["panel"] = scaled_panel(station.panel, panel_by)
    return station.model_copy(update=changes)
