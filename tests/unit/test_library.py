"""The parts library: the starter parts, changes and undo, files, and stations made from it."""

from __future__ import annotations

import re
from datetime import date
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from app.resources import resource
from model.editing.edit_stations import with_part
from model.editing.faults import ScenarioError
from model.library.catalogue import KINDS, Kind, Library, LibraryError, difference, kind_of
from model.library.measured import measured_parts
from model.library.new_station import new_part, new_station
from model.library.store import FILE_NAMES, load, load_what_holds, parse_parts, save, seed
from model.scenario.declare import Source
from model.scenario.station import Battery, Extra, Lead, Radio, Station
from model.station.key_down_law import fit, misses


@pytest.fixture(scope="module")
def starter() -> Library:
    return load(resource("assets/parts"))


# The ranges are those of generic classes as operators report them: common practice, no source.
@pytest.mark.parametrize(
    ("kind", "least"),
    [
        ("radio", 7), ("amplifier", 3), ("tuner", 3), ("laptop", 4), ("battery", 8),
        ("controller", 3), ("panel", 5), ("antenna", 3), ("lead", 4), ("charger", 2),
        ("extra", 8),
    ],
)  # fmt: skip
def test_the_starter_library_offers_a_choice_of_every_kind(
    starter: Library, kind: str, least: int
) -> None:
    assert len(starter.of(kind)) >= least


def test_every_starter_number_is_a_guess_and_every_file_says_it_is_invented(
    starter: Library,
) -> None:
    assert all(part.sources == () for part in starter.parts)
    for name in FILE_NAMES.values():
        text = (resource("assets/parts") / name).read_text(encoding="utf-8")
        assert text.startswith("# Invented parts")


def test_starter_names_are_generic(starter: Library) -> None:
    # Letters joined to digits read like somebody's model number.
    looks_like_a_model = re.compile(r"\b[A-Za-z]+-?\d+[A-Za-z]*\b")
    assert [part.name for part in starter.parts if looks_like_a_model.search(part.name)] == []
    for kind in KINDS:
        names = [part.name for part in starter.of(kind)]
        assert len(set(names)) == len(names)


def test_starter_batteries_cover_the_chemistries_with_the_usual_energy_per_kg(
    starter: Library,
) -> None:
    # Common practice, no source: Wh/kg of finished packs.
    bands = {"LFP": (80, 120), "Li-ion": (110, 180), "AGM": (28, 45), "flooded": (28, 50),
             "NiMH": (55, 95)}  # fmt: skip
    volts = {"LFP": 3.2, "Li-ion": 3.7, "AGM": 2.0, "flooded": 2.0, "NiMH": 1.2}
    batteries = [part for part in starter.of("battery") if isinstance(part, Battery)]
    assert {battery.chemistry for battery in batteries} == set(bands)
    for battery in batteries:
        energy_wh = battery.capacity_ah * battery.cells_in_series * volts[battery.chemistry]
        low, high = bands[battery.chemistry]
        assert low <= energy_wh / battery.mass_kg <= high, battery.name
        assert battery.tested_fraction == 0.9


def test_starter_key_down_points_lie_on_the_law(starter: Library) -> None:
    for kind in ("radio", "amplifier"):
        for part in starter.of(kind):
            assert max(abs(miss) for miss in misses(part.key_down)) < 0.01, part.name


def test_a_lead_bears_its_fuse(starter: Library) -> None:
    # NEC 2023 table 310.16, 75 °C copper, with 240.4(D): AWG 14 (2.1 mm²) 15 A, 12 (3.3) 20 A,
    # 10 (5.3) 30 A; a metric conductor bears at least the lesser AWG neighbour's current.
    bears = {1.5: 10, 2.5: 20, 5.0: 25, 6.0: 30}
    for lead in starter.of("lead"):
        assert isinstance(lead, Lead)
        assert lead.size_mm2 is not None
        assert lead.fuse_a is not None
        assert lead.fuse_a <= bears[lead.size_mm2], lead.name


def test_a_new_station_starts_from_believable_defaults(starter: Library) -> None:
    station = new_station("Light", "Compact all-mode, 10 W", "LFP 15 Ah", starter)
    assert station.radio.receive_a == 0.16
    assert station.start_fraction == 0.95
    assert station.reserve_fraction == 0.2
    [lead] = station.leads
    assert (lead.feeds, lead.joints_mohm) == ("radio", 2.0)
    highest_a = fit(station.radio.key_down).current_a(10)
    assert lead.fuse_a is not None
    assert lead.fuse_a >= highest_a
    assert new_station("Lead", "Manpack, 20 W", "AGM 18 Ah", starter).reserve_fraction == 0.5


def test_a_heavier_radio_gets_a_heavier_fused_lead(starter: Library) -> None:
    station = new_station("Heavy", "One-box, 100 W, screen and tuner", "LFP 30 Ah", starter)
    assert station.leads[0].fuse_a == 25


def test_an_unknown_part_is_named(starter: Library) -> None:
    with pytest.raises(KeyError, match='no radio named "nothing"'):
        new_station("A", "nothing", "LFP 15 Ah", starter)


def test_a_change_of_battery_brings_its_usual_reserve_unless_the_person_chose_one(
    starter: Library,
) -> None:
    station = new_station("A", "Manpack, 20 W", "LFP 15 Ah", starter)
    lead = starter.find("battery", "AGM 18 Ah")
    assert with_part(station, lead).reserve_fraction == lead.cell.reserve_fraction == 0.5
    chosen = station.model_copy(update={"reserve_fraction": 0.3})
    assert with_part(chosen, lead).reserve_fraction == 0.3


def test_parts_are_put_into_their_slot_or_their_list(starter: Library) -> None:
    station = new_station("A", "Manpack, 20 W", "LFP 15 Ah", starter)
    panel, light, router = (
        starter.find("panel", "Folding, 60 W"), starter.find("extra", "Light"),
        starter.find("extra", "Travel router"),
    )  # fmt: skip
    station = with_part(with_part(station, panel), light)
    assert station.panel == panel
    assert station.extras == (light,)
    assert with_part(station, router, place=0).extras == (router,)


def test_search_needs_every_word_and_no_case(starter: Library) -> None:
    found = starter.search("100 w ONE-BOX")
    assert {part.name for part in found} == {
        "Compact one-box, 100 W, no screen", "Compact one-box, 100 W, mobile",
        "One-box, 100 W, screen and tuner",
    }  # fmt: skip
    assert all(kind_of(part) == "panel" for part in starter.search("100", "panel"))
    assert starter.search("") == starter.parts


def test_duplicates_get_a_name_of_their_own_and_undo_is_the_old_value(starter: Library) -> None:
    part = starter.find("radio", "Manpack, 20 W")
    once = starter.with_duplicate(part)
    twice = once.with_duplicate(part)
    names = [radio.name for radio in twice.of("radio")]
    assert "Manpack, 20 W (2)" in names
    assert "Manpack, 20 W (3)" in names
    assert len(starter.of("radio")) == len(names) - 2
    assert once.without(once.find("radio", "Manpack, 20 W (2)")) == starter


def test_a_name_stays_unique_within_its_kind(starter: Library) -> None:
    part = starter.find("radio", "Manpack, 20 W")
    taken = part.model_copy(update={"name": "Minimal all-mode, 5 W"})
    with pytest.raises(LibraryError, match="already has a radio"):
        starter.with_replaced(part, taken)
    with pytest.raises(LibraryError, match="needs a name"):
        starter.with_replaced(part, part.model_copy(update={"name": "  "}))
    with pytest.raises(LibraryError, match="cannot become"):
        starter.with_replaced(part, starter.find("panel", "Folding, 60 W"))
    with pytest.raises(LibraryError, match="no radio named"):
        Library().without(part)


def test_the_difference_names_each_field_with_both_values(starter: Library) -> None:
    old = starter.find("battery", "LFP 10 Ah")
    measured = Source.model_validate({"from": "measured"})
    new = old.model_copy(
        update={"tested_fraction": 0.8, "sources": (("tested_fraction", measured),)}
    )
    rows = difference(old, new)
    assert [(row.field, row.before, row.after) for row in rows[:1]] == [
        ("tested_fraction", 0.9, 0.8)
    ]
    assert rows[1].field == "sources.tested_fraction"
    assert rows[1].after == measured
    assert len(rows) == 2
    assert difference(old, old) == ()
    assert {row.field for row in difference(None, old)} >= {"chemistry", "capacity_ah"}


def test_a_library_survives_its_files(starter: Library, tmp_path: Path) -> None:
    save(starter, tmp_path)
    assert load(tmp_path) == starter


def test_a_file_that_holds_the_same_parts_keeps_its_comments(tmp_path: Path) -> None:
    assert seed(resource("assets/parts"), tmp_path)
    library = load(tmp_path)
    save(library.without(library.find("radio", "Manpack, 20 W")), tmp_path)
    assert "Invented" in (tmp_path / "tuners.toml").read_text(encoding="utf-8")
    assert "Manpack" not in (tmp_path / "radios.toml").read_text(encoding="utf-8")
    assert not seed(resource("assets/parts"), tmp_path)


def test_a_slip_made_by_hand_is_named_and_the_rest_still_loads(tmp_path: Path) -> None:
    text = '[[radio]]\nname = "A"\nreceive_a = 0.1\n\n[[radio]]\nname = "B"\nrecieve_a = 0.1\n'
    (tmp_path / "radios.toml").write_text(text, encoding="utf-8")
    (tmp_path / "panels.toml").write_text("[[panel]\n", encoding="utf-8")
    library, faults = load_what_holds(tmp_path)
    assert [part.name for part in library.parts] == ["A"]
    assert {(str(fault).split(": ")[0], fault.line) for fault in faults} == {
        ("radios.toml", 5), ("radios.toml", 7), ("panels.toml", 1)
    }  # fmt: skip
    assert any('the nearest known key is "receive_a"' in fault.message for fault in faults)
    with pytest.raises(ScenarioError):
        load(tmp_path)
    save(library, tmp_path)
    assert (tmp_path / "radios.toml.refused").read_text(encoding="utf-8") == text
    assert load(tmp_path) == library


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ('[[radios]]\nname = "A"\n', "is no kind of part"),
        ("radio = 3\n", "must be a list of tables"),
        ("radio = [3]\n", "must be a table"),
        ("[[radio]]\nreceive_a = 0.1\n", "needs one"),
        ('[[radio]]\nname = "A"\nreceive_a = -1\n', "must be at least 0, got -1"),
        ('[[radio]]\nname = "A"\nreceive_a = nan\n', "must be a finite number"),
    ],
)
def test_what_is_no_part_is_refused_with_its_place(text: str, words: str) -> None:
    read = parse_parts(text.encode())
    assert read.parts == ()
    assert any(words in fault.message for fault in read.faults)
    assert all(fault.path and fault.line for fault in read.faults)


def test_two_parts_of_one_name_are_a_fault() -> None:
    read = parse_parts(b'[[extra]]\nname = "A"\n[[extra]]\nname = "A"\n')
    assert len(read.parts) == 1
    assert [str(fault) for fault in read.faults] == ['extra.1.name: must be unique; "A" is taken']


def test_too_many_parts_are_told_at_once() -> None:
    text = "".join(f'[[extra]]\nname = "{number}"\n' for number in range(501))
    [fault] = parse_parts(text.encode()).faults
    assert "at most 500 parts, got 501" in fault.message


@given(st.lists(st.text(min_size=1, max_size=130).filter(str.strip), max_size=8))
def test_added_parts_always_have_names_of_their_own(names: list[str]) -> None:
    library = Library()
    for name in names:
        library = library.with_added(Extra.model_construct(name=name))
    held = [part.name for part in library.of("extra")]
    assert len(set(held)) == len(names)
    assert all(len(name) <= 120 for name in held)


def test_a_radio_without_a_lead_that_bears_it_gets_none() -> None:
    library = Library(
        (Radio(name="R", receive_a=1.0, key_down=((5.0, 7.0), (100.0, 20.0))),
         Battery(name="B", chemistry="LFP", capacity_ah=20.0),
         Lead(name="thin", feeds="radio", one_way_m=1.0, fuse_a=5.0))
    )  # fmt: skip
    assert new_station("A", "R", "B", library).leads == ()


@pytest.mark.parametrize("kind", KINDS)
def test_a_new_part_begins_with_believable_guesses(kind: Kind) -> None:
    part = new_part(kind)
    assert kind_of(part) == kind
    assert part.name.startswith("New ")
    assert part.sources == ()
    expected = {
        "battery": ("tested_fraction", 0.9), "lead": ("joints_mohm", 2.0),
        "panel": ("other_losses", 0.15),
    }  # fmt: skip
    if kind in expected:
        field, value = expected[kind]
        assert getattr(part, field) == value
    assert Library().with_added(part).of(kind) == (part,)


def test_a_measured_number_goes_into_the_part_of_that_name_with_date_and_spread():
    held = Radio(name="Box", receive_a=0.4, mass_kg=1.2)
    source = Source.model_validate({"from": "measured", "on": date(2027, 3, 1), "spread": 0.05})
    sources = (("receive_a", source),)
    own = Radio(name="Box", receive_a=0.475, mass_kg=9.9, sources=sources)
    battery = Battery(name="Own pack", chemistry="LFP", capacity_ah=15.0)
    station = Station(name="A", radio=own, battery=battery)
    [part] = measured_parts(station, Library((held,)))
    assert part == held.model_copy(update={"receive_a": 0.475, "sources": sources})
    assert measured_parts(station, Library((part,))) == ()
    # One that the library has not is taken whole; numbers nobody measured bring nothing.
    assert measured_parts(station, Library()) == (own,)
