"""Whole parts and whole stations put in, copied, moved and taken out."""

from __future__ import annotations

import pytest

from app.resources import resource
from model.editing.edit_stations import (
    fitted,
    free_name,
    with_part_copied,
    with_part_duplicated,
    with_station_duplicated,
    with_station_moved,
    with_station_removed,
)
from model.editing.faults import ScenarioError
from model.editing.paths import with_value
from model.library.new_station import with_station_added
from model.library.store import load
from model.scenario.scenario import STATIONS_LIMIT, Scenario
from model.station.carried_mass import carried_total, shared_extras
from tests.laws.sample_kits import question, small_kit
from tests.unit.scenario_maker import RADIO_LEAD

TWO = question(small_kit() | {"leads": [RADIO_LEAD]}, small_kit() | {"name": "other"})


def test_a_part_replaces_the_one_in_its_slot_and_is_added_to_its_list() -> None:
    battery = TWO.stations[1].battery.model_copy(update={"capacity_ah": 77.0})
    assert fitted(TWO, 0, battery).stations[0].battery.capacity_ah == 77.0
    lead = TWO.stations[0].leads[0].model_copy(update={"size_mm2": 6.0})
    assert [each.size_mm2 for each in fitted(TWO, 0, lead).stations[0].leads][-1] == 6.0
    assert fitted(TWO, 0, lead, place=0).stations[0].leads == (lead,)


def test_a_usual_reserve_becomes_the_usual_one_of_another_chemistry() -> None:
    usual = with_value(TWO, "stations.0.reserve_fraction", 0.2)
    lead_acid = TWO.stations[0].battery.model_copy(update={"chemistry": "AGM"})
    assert fitted(usual, 0, lead_acid).stations[0].reserve_fraction == 0.5
    chosen = with_value(TWO, "stations.0.reserve_fraction", 0.35)
    assert fitted(chosen, 0, lead_acid).stations[0].reserve_fraction == 0.35


def test_a_copied_part_is_carried_by_the_others_and_left_where_it_is() -> None:
    after = with_part_copied(TWO, "stations.0.leads.0", range(2))
    assert after.stations[0] == TWO.stations[0]
    assert after.stations[1].leads == (*TWO.stations[1].leads, TWO.stations[0].leads[0])


def test_a_duplicated_entry_stands_beside_its_original() -> None:
    after = with_part_duplicated(TWO, "stations.0.leads.0").stations[0].leads
    assert after == (*TWO.stations[0].leads[:1], *TWO.stations[0].leads)


def test_a_duplicated_station_stands_beside_its_original_under_a_free_name() -> None:
    once = with_station_duplicated(TWO, 0)
    assert [station.name for station in once.stations] == ["small", "small (copy)", "other"]
    twice = with_station_duplicated(once, 0)
    assert [station.name for station in twice.stations][1] == "small (copy) 2"
    assert with_station_removed(with_station_moved(once, 1, 0), 0) == TWO


def test_what_all_stations_share_is_carried_once_beside_a_copy() -> None:
    food = {"name": "food", "power_w": 0.0, "mass_kg": 5.0, "shared_by_all": True}
    given = with_value(TWO, "stations.0.extras", [food, {"name": "light", "power_w": 1.0}])
    after = with_station_duplicated(given, 0)
    assert [extra.name for extra in after.stations[1].extras] == ["light"]

    def carried_kg(scenario: Scenario, index: int) -> float:
        shared = shared_extras(scenario, index)
        return carried_total(scenario.stations[index], shared).mass_kg

    assert [carried_kg(after, index) for index in range(3)] == pytest.approx(
        [carried_kg(given, index) for index in (0, 0, 1)]
    )


def test_a_station_without_a_name_is_copied_under_its_number() -> None:
    nameless = with_value(TWO, "stations.1.name", "")
    assert with_station_duplicated(nameless, 1).stations[2].name == "Station 2 (copy)"


def test_a_further_station_has_a_name_of_its_own_and_there_are_only_so_many() -> None:
    library = load(resource("assets/parts"))
    grown: Scenario = TWO
    while len(grown.stations) < STATIONS_LIMIT:
        grown = with_station_added(grown, library)
    assert len({station.name for station in grown.stations}) == STATIONS_LIMIT
    assert free_name(grown, "Station 3") == "Station 3 2"
    with pytest.raises(ScenarioError):
        with_station_added(grown, library)
