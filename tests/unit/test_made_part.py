"""A kind of part is one row: a made-up load is complete everywhere, from the form to the page."""

from __future__ import annotations

from typing import Any

import pytest

from model.scenario.kinds import KINDS
from model.scenario.station import Part, Station
from model.station.part_loads import LOADS, SOURCES, STORES
from tests.unit.own_process import found_by

HOURS_ON, AMPERES = 4, 0.25


@pytest.fixture(scope="module")
def fan(tmp_path_factory: pytest.TempPathFactory) -> dict[str, Any]:
    return found_by("tests.unit.made_part", tmp_path_factory.mktemp("home"))


def test_the_form_shows_its_fields_and_its_caution(fan: dict[str, Any]) -> None:
    assert fan["line"] == "Fan"
    assert fan["labels"] == ["Name", "Fan current", "Hours", "Mass", "Cost"]
    assert "Keep fingers out of the fan." in fan["cautions"]


def test_file_and_schema_hold_it(fan: dict[str, Any]) -> None:
    assert fan["read"]
    assert fan["schema"] == "Fan current"
    assert fan["described"] == "station 1, fan, fan current"


def test_the_run_draws_and_tells_it(fan: dict[str, Any]) -> None:
    assert fan["fan_ah"] == pytest.approx(AMPERES * HOURS_ON)
    assert fan["load_ah"] == pytest.approx(AMPERES * HOURS_ON)
    assert fan["residual"] < 1e-9, "the ledger closes with it"
    assert any("fan" in label.lower() for label in fan["rows"])
    assert fan["basis"] == [["fan", ["fan.current_a"], pytest.approx(AMPERES * HOURS_ON)]]
    assert "fan.current_a" in fan["drawn_in_odds"]
    assert "fan_off" in fan["advice"], "the first thing to switch off"
    assert fan["lean"] is None, "the leanest watch does without"
    assert fan["through_battery_a"] == pytest.approx(AMPERES), "its lead and fuse carry it"


def test_it_is_carried_weighed_and_printed(fan: dict[str, Any]) -> None:
    assert fan["mass_kg"] == pytest.approx(0.3)
    assert "Comfort" in fan["carried"]
    assert "fan.mass_kg" in fan["bench"]
    assert "fan.current_a" in fan["bench"]
    assert "Comfort: desk fan" in fan["page"]
    assert "Fan 0.25" in fan["page"] or "Fan 1.00" in fan["page"], "its line of the energy budget"


def test_the_library_keeps_it(fan: dict[str, Any]) -> None:
    assert fan["library_file"] == "fans.toml"
    assert fan["toml"]
    assert fan["csv"]
    assert fan["new"] == 0.2
    assert fan["put_in"] == "New fan"


def test_a_source_with_a_tank_gives_until_it_is_empty(fan: dict[str, Any]) -> None:
    # Two hours from one, then half an hour of the four from five: 2.5 h of 3 A.
    assert fan["given_ah"] == pytest.approx(2.5 * 3.0)
    assert fan["gives_at"] == [False, True, False, True, False]
    assert fan["generator_residual"] < 1e-9
    assert fan["charging_a"] == pytest.approx(3.0), "its lead and fuse carry it"


def test_a_source_with_a_store_burns_what_is_taken_and_ends_dry(fan: dict[str, Any]) -> None:
    full, low = fan["engines"]
    for engine in (full, low):
        assert engine["least_drop_l"] >= 0.0
        assert engine["residual"] < 1e-9, "the ledger closes with it"
        assert abs(engine["fleet_off"]) < 1e-12, "as a fleet it is the same"
        # Idling takes 0.03 l/h, each ampere-hour 0.02 l more; what is left is the rest of 0.3 l.
        assert 0.3 - engine["left_l"] == pytest.approx(engine["burnt_l"], abs=2e-3)
    assert full["runs_h"] == pytest.approx(8.0), "hours are over before the fuel is"
    # A panel tied at dawn gives a trifle less once the battery's limit lifts the volts.
    assert full["left_l"] == pytest.approx(0.3 - full["burnt_l"], abs=1e-6)
    assert full["left_l"] > 0.0
    # Into a battery that takes it all: 0.03 + 0.02 * 3 l in each hour.
    assert low["left_l"] == 0.0
    assert low["given_ah"] == pytest.approx(3.0 * 0.3 / 0.09, rel=1e-6)
    assert low["given_ah"] > 2 * full["given_ah"]


def test_every_part_of_a_station_has_its_row() -> None:
    slots = {kind.slot for kind in KINDS}
    for name, info in Station.model_fields.items():
        held = str(info.annotation)
        classes = [kind.part for kind in KINDS if f".{kind.part.__name__}" in held]
        assert (name in slots) == bool(classes), f"{name} and its row"
    assert len({kind.key for kind in KINDS}) == len(KINDS)
    assert all(issubclass(kind.part, Part) for kind in KINDS)


def test_every_kind_that_draws_has_its_physics() -> None:
    # Radio and amplifier draw with the sending; all others have one use and one function.
    drawing = {kind.key: kind for kind in KINDS if kind.uses}
    assert set(LOADS) == set(drawing) - {"radio", "amplifier"}
    assert all(len(drawing[key].uses) == 1 for key in LOADS)
    assert set(SOURCES) <= {kind.key for kind in KINDS if kind.role == "source"}
    assert set(STORES) <= set(SOURCES)


def test_every_use_names_numbers_of_its_part() -> None:
    for kind in KINDS:
        for number in (*kind.varied, *(name for use in kind.uses for name in use.numbers)):
            assert number in kind.part.model_fields, f"{kind.key}.{number}"
