"""The scenario to begin with: its weekend, its place, and stations of whatever library there is."""

from __future__ import annotations

import tomllib
from datetime import date, timedelta

import pytest
import tomli_w

from app.resources import resource
from model.engine.comparison import simulate
from model.files.scenario_file import dump_scenario, parse_scenario, read_scenario
from model.findings.place import climate_elsewhere
from model.findings.rules import find
from model.library.catalogue import Library
from model.library.new_scenario import (
    CLIMATE,
    NET_W,
    PLACE,
    Home,
    home_of,
    home_table,
    new_scenario,
    read_home,
)
from model.library.store import load
from model.scenario.scenario import Scenario, Site
from model.station.transmit_path import given_rf_w

SUMMER, WINTER = date(2027, 6, 9), date(2026, 12, 2)


@pytest.fixture(scope="module")
def library() -> Library:
    return load(resource("assets/parts"))


@pytest.fixture(scope="module")
def ridge() -> Scenario:
    return read_scenario(resource("scenarios/ridge-weekend.toml"))


@pytest.mark.parametrize("days", range(7))
def test_it_begins_on_the_first_saturday_after_today(library: Library, days: int) -> None:
    today = date(2026, 12, 27) + timedelta(days)
    begins = new_scenario(today, library).day.date
    assert f"{begins:%A}" == "Saturday"
    assert timedelta(0) < begins - today <= timedelta(7)


@pytest.mark.parametrize("today", [SUMMER, WINTER], ids=["summer", "winter"])
def test_a_small_radio_with_an_amplifier_stands_against_one_box(
    library: Library, today: date
) -> None:
    scenario = new_scenario(today, library)
    small, box = scenario.stations
    assert small.amplifier is not None
    assert box.amplifier is None
    assert small.radio.highest_rf_w < 100 <= box.radio.highest_rf_w
    assert small.radio.receive_a < box.radio.receive_a / 4
    assert small.battery == box.battery
    assert small.panel == box.panel
    found = simulate(scenario).findings
    assert [each.sentence for each in found if each.level != "hint"] == []


def test_its_plan_is_one_net_between_two_watches_round_the_clock(library: Library) -> None:
    plan = new_scenario(SUMMER, library).plan
    assert [block.activity for block in plan] == ["watch", "voice", "watch"]
    assert sum(end - start for start, end in (block.minutes for block in plan)) == 24 * 60
    assert plan[1].rf_w == NET_W


def test_both_give_the_power_that_the_plan_asks_for(library: Library) -> None:
    scenario = new_scenario(SUMMER, library)
    assert {given_rf_w(station, scenario.plan[1]) for station in scenario.stations} == {NET_W}
    assert all(run is not None and run.clocks.full_power.until is None
               for run in simulate(scenario).runs)  # fmt: skip


def test_at_home_it_has_the_place_and_the_temperatures_of_the_month(
    library: Library, ridge: Scenario
) -> None:
    assert ridge.climate is not None
    scenario = new_scenario(date(2027, 7, 1), library, home_of(ridge))
    assert scenario.site == ridge.site
    assert scenario.climate == ridge.climate
    assert scenario.day.low_c == (ridge.climate.low_c[6],)
    assert scenario.day.high_c == (ridge.climate.high_c[6],)
    assert "July" in scenario.notes
    bare = new_scenario(SUMMER, library, Home(ridge.site, None))
    assert bare.climate is None
    assert "no place in particular" in bare.notes


def test_without_a_home_the_place_says_that_it_is_invented(library: Library) -> None:
    scenario = new_scenario(SUMMER, library)
    assert scenario.site == PLACE
    assert "invented" in scenario.site.name
    assert "invented" in CLIMATE.source


def test_it_is_saved_and_read_as_it_is(library: Library) -> None:
    scenario = new_scenario(WINTER, library)
    assert parse_scenario(dump_scenario(scenario).encode()) == scenario


def test_a_home_goes_through_toml_and_leaves_its_years(ridge: Scenario) -> None:
    assert ridge.climate is not None
    year = {"start": date(2020, 1, 1), "clearness": [0.5], "low_c": [1.0], "high_c": [2.0]}
    with_years = ridge.climate.model_validate({**ridge.climate.model_dump(), "years": [year]})
    home = home_of(ridge.model_copy(update={"climate": with_years}))
    assert home.climate == ridge.climate
    for each in (home, Home(home.site, None), Home(PLACE, CLIMATE)):
        table = tomllib.loads(tomli_w.dumps({"home": home_table(each)}))
        assert read_home(table["home"]) == each


@pytest.mark.parametrize(
    "table",
    [
        {}, {"site": 7}, {"site": {}}, {"site": {"latitude_deg": 91.0, "longitude_deg": 0.0}},
        {"site": {"latitude_deg": 1.0, "longitude_deg": 2.0, "timezone": "Nowhere/Else"}},
        {"site": {"latitude_deg": 1.0, "longitude_deg": 2.0}, "climate": {"low_c": [1.0]}},
        {"site": {"latitude_deg": 1.0, "longitude_deg": 2.0, "altitude": 3.0}},
    ],
)  # fmt: skip
def test_a_strange_home_is_none(table: dict[str, object]) -> None:
    assert read_home(table) is None


def test_a_home_needs_no_more_than_coordinates() -> None:
    table = {"site": {"latitude_deg": 1.5, "longitude_deg": -2.0}}
    assert read_home(table) == Home(Site(latitude_deg=1.5, longitude_deg=-2.0), None)


@pytest.mark.parametrize(
    "kinds",
    [
        {"radio", "battery"}, {"radio", "battery", "panel"}, {"radio", "amplifier"}, set(),
        {"amplifier", "controller", "panel", "lead"},
    ],
    ids=lambda kinds: " ".join(sorted(kinds)) or "empty",
)  # fmt: skip
def test_a_library_that_lacks_parts_still_gives_two_stations_that_run(
    library: Library, kinds: set[str]
) -> None:
    poor = Library(tuple(part for kind in kinds for part in library.of(kind)))
    scenario = new_scenario(SUMMER, poor)
    comparison = simulate(scenario)
    assert None not in comparison.runs
    given = {given_rf_w(station, scenario.plan[1]) for station in scenario.stations}
    assert given == {scenario.plan[1].rf_w}
    assert all((station.panel is None) == (station.controller is None)
               for station in scenario.stations)  # fmt: skip


@pytest.mark.parametrize(
    ("moved", "is_told"),
    [({"latitude_deg": 47.2}, False), ({"latitude_deg": 55.9, "longitude_deg": -3.5}, True)],
)
def test_the_climate_of_the_invented_place_is_told_of_elsewhere(
    library: Library, moved: dict[str, float], is_told: bool
) -> None:
    begun = new_scenario(SUMMER, library)
    away = begun.model_copy(update={"site": begun.site.model_copy(update=moved)})
    assert not [found for found in find(begun) if found.path == "climate.low_c"]
    assert [found.level for found in find(away) if found.path == "climate.low_c"] == (
        ["warning"] if is_told else []
    )


def test_a_distance_is_that_of_the_great_circle() -> None:
    """A degree along a meridian is 6371 km x pi / 180, by definition of the mean radius."""
    begun = new_scenario(SUMMER, load(resource("assets/parts")))
    site = begun.site.model_copy(update={"latitude_deg": PLACE.latitude_deg + 10})
    (found,) = climate_elsewhere(site, begun.climate)
    assert "1112" in found.sentence.replace(",", "").replace("\u202f", "")
