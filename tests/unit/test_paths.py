"""A dotted path reads, changes and describes one field of a scenario."""

from __future__ import annotations

from datetime import date

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from model.editing.faults import ScenarioError
from model.editing.field_facts import FieldFacts, known_keys
from model.editing.paths import (
    describe,
    field_at,
    value_at,
    with_inserted,
    with_moved,
    with_removed,
    with_value,
)
from model.scenario.declare import Source, Value
from model.scenario.scenario import Scenario
from tests.strategies import number_values, scenarios

BASE = Scenario.model_validate(
    {
        "title": "Ridge",
        "site": {"latitude_deg": 46.5, "longitude_deg": 12, "horizon": [[0, 5], [90, 12]]},
        "day": {"date": date(2027, 6, 21)},
        "plan": [
            {"start": "06:00", "end": "07:00", "activity": "watch"},
            {"start": "18:00", "end": "19:00", "activity": "voice", "rf_w": 10},
        ],
        "stations": [
            {
                "name": name,
                "radio": {
                    "receive_a": 0.16,
                    "key_down": [[0.5, 0.6], [10, 2.1]],
                    "sources": {"receive_a": {"from": "measured"}},
                },
                "battery": {"chemistry": "LFP", "capacity_ah": 20},
                "tuner": {"idle_a": 0.01},
                "leads": [{"for": "radio", "one_way_m": 1.5}],
                "extras": [{"current_a": 0.2}, {"power_w": 3, "hours": [["18:00", "23:00"]]}],
            }
            for name in ("Small", "Large")
        ],
    }
)


def refusal(change, *arguments) -> list[str]:
    with pytest.raises(ScenarioError) as caught:
        change(BASE, *arguments)
    return [str(fault) for fault in caught.value.faults]


# ---- reading


@pytest.mark.parametrize(
    ("path", "value"),
    [
        ("title", "Ridge"),
        ("site.horizon.1.1", 12.0),
        ("stations.1.name", "Large"),
        ("stations.0.radio.receive_a", 0.16),
        ("stations.0.radio.key_down.1.0", 10.0),
        ("stations.0.leads.0.for", "radio"),
        ("stations.0.amplifier", None),
        ("stations.0.extras.1.hours.0.1", "23:00"),
        ("stations.0.radio.sources.receive_a.from", "measured"),
        ("plan.1.rf_w", 10.0),
    ],
)
def test_a_path_leads_to_a_value(path, value):
    assert value_at(BASE, path) == value


def test_the_empty_path_reads_the_whole_and_changes_nothing():
    assert value_at(BASE, "") is BASE
    with pytest.raises(KeyError, match="an empty path leads to no value of a scenario"):
        with_value(BASE, "", BASE)


@pytest.mark.parametrize(
    "path",
    [
        "nothing",
        "stations.2",
        "stations.-1",
        "stations.x",
        "stations.0.leads.0.feeds",
        "stations.0.amplifier.gain_db",
        "title.0",
        "stations.0.radio.sources.off_a",
        "plan.1.",
        ".",
        "stations.0.radio.key_down.0.2",
        "stations..radio",
        "stations.²",
    ],
)
def test_a_path_that_leads_nowhere_is_an_error_of_the_program(path):
    with pytest.raises(KeyError):
        value_at(BASE, path)
    with pytest.raises(KeyError):
        with_value(BASE, f"{path}.rf_w", 1)


# ---- changing


def test_a_change_shares_all_it_does_not_touch():
    new = with_value(BASE, "stations.0.radio.receive_a", 0.3)
    assert value_at(new, "stations.0.radio.receive_a") == 0.3
    assert value_at(BASE, "stations.0.radio.receive_a") == 0.16
    assert new.stations[0].battery is BASE.stations[0].battery
    assert new.stations[0].leads is BASE.stations[0].leads
    assert new.stations[0].radio.key_down is BASE.stations[0].radio.key_down
    assert new.stations[1] is BASE.stations[1]
    assert new.plan is BASE.plan
    assert new.site is BASE.site
    assert new.day is BASE.day


def test_a_whole_number_becomes_the_number_a_file_would_give():
    new = with_value(BASE, "stations.0.radio.receive_a", 1)
    assert isinstance(new.stations[0].radio.receive_a, float)


@pytest.mark.parametrize(
    ("path", "value", "sentence"),
    [
        (
            "stations.1.radio.receive_a",
            -1,
            "stations.1.radio.receive_a: must be at least 0, got -1",
        ),
        (
            "stations.1.radio.receive_a",
            float("nan"),
            "stations.1.radio.receive_a: must be a finite number, got nan",
        ),
        (
            "stations.1.radio.receive_a",
            None,
            "stations.1.radio.receive_a: must be a number, got nothing",
        ),
        (
            "stations.0.radio",
            None,
            "stations.0.radio: must be a table, written [stations.radio], got nothing",
        ),
        (
            "stations.0.radio",
            BASE.stations[0].battery,
            "stations.0.radio: must be a table, written [stations.radio], got a table",
        ),
        (
            "stations.0.leads.0.for",
            "tuner",
            'stations.0.leads.0.for: must be one of "radio",'
            ' "amplifier", "panel", "battery", got text'
            ' "tuner"',
        ),
        (
            "stations.0.radio.key_down.0.1",
            -2,
            "stations.0.radio.key_down.0.1: must be at least 0, got -2",
        ),
        (
            "stations.0.radio.key_down.0.0",
            10,
            "stations.0.radio.key_down: must hold at least two distinct powers,"
            " as [[rf_w, current_a],"
            " ...]",
        ),
        (
            "stations.0.radio.sources.receive_a.spread",
            3,
            "stations.0.radio.sources.receive_a.spread: must be at most 2, got 3",
        ),
        (
            "stations.0.radio.sources.nothing",
            {"from": "guess"},
            "stations.0.radio.sources.nothing: names no field of this part",
        ),
        (
            "stations.0.extras.0",
            {"curent_a": 1},
            'stations.0.extras.0.curent_a: is not a key here; the nearest known key is "current_a"',
        ),
        ("plan.1.start", "06:30", "plan.1: overlaps plan.0 from 06:30; blocks must not overlap"),
        ("day.low_c", (1,) * 17, "day.low_c: must hold 1 to 16 entries, got 17"),
        ("day.date", date(1900, 1, 1), "day.date: must be at least 1950-01-01, got 1900-01-01"),
        ("stations", (), "stations: must hold 1 to 4 stations, got 0"),
        ("title", "two\nlines", 'title: must be a single line, got text "twolines"'),
    ],
)
def test_a_change_is_held_to_every_bound_and_relation(path, value, sentence):
    assert refusal(with_value, path, value) == [sentence]


def test_a_part_comes_and_goes():
    new = with_value(BASE, "stations.0.amplifier", {"key_down": [[20, 4], [100, 12]]})
    assert new.stations[0].amplifier.highest_rf_w == 100
    assert with_value(new, "stations.0.amplifier", None) == BASE
    assert with_removed(new, "stations.0.amplifier") == BASE


def test_a_source_comes_and_goes():
    new = with_value(BASE, "stations.0.radio.sources.off_a", {"from": "datasheet"})
    assert new.stations[0].radio.source_of("off_a") == Source.model_validate({"from": "datasheet"})
    assert new.stations[0].radio.source_of("receive_a").origin == "measured"
    assert with_removed(new, "stations.0.radio.sources.off_a") == BASE
    newer = with_value(new, "stations.0.radio.sources.off_a.on", date(2027, 3, 1))
    assert newer.stations[0].radio.source_of("off_a").on == date(2027, 3, 1)


def test_a_removed_field_takes_its_default_and_a_needed_one_stays():
    assert with_removed(BASE, "plan.1.rf_w").plan[1].rf_w == 0
    assert refusal(with_removed, "stations.0.radio") == ["stations.0.radio: may not be left out"]


def test_list_entries_are_inserted_moved_and_removed():
    block = {"start": "12:00", "end": "12:10", "activity": "fm"}
    new = with_inserted(BASE, "plan", 1, block)
    assert [each.start for each in new.plan] == ["06:00", "12:00", "18:00"]
    assert new.plan[0] is BASE.plan[0]
    assert with_removed(new, "plan.1") == BASE
    moved = with_moved(new, "plan.1", 2)
    assert [each.start for each in moved.plan] == ["06:00", "18:00", "12:00"]
    assert with_moved(moved, "plan.2", 1) == new
    hours = with_inserted(BASE, "stations.0.extras.1.hours", 1, ("05:00", "06:00"))
    assert hours.stations[0].extras[1].hours == (("18:00", "23:00"), ("05:00", "06:00"))
    assert len(with_removed(BASE, "site.horizon.0").site.horizon) == 1


def test_lists_keep_to_their_bounds():
    full = with_inserted(
        with_inserted(BASE, "stations", 0, BASE.stations[1]), "stations", 3, BASE.stations[0]
    )
    with pytest.raises(ScenarioError, match="stations: must hold 1 to 4 stations, got 5"):
        with_inserted(full, "stations", 0, BASE.stations[0])
    one = with_removed(BASE, "stations.0")
    with pytest.raises(ScenarioError, match="stations: must hold 1 to 4 stations, got 0"):
        with_removed(one, "stations.0")
    assert refusal(with_removed, "stations.0.radio.key_down.0") == [
        "stations.0.radio.key_down: must hold at least two distinct powers, as [[rf_w, current_a],"
        " ...]"
    ]


@pytest.mark.parametrize("index", [-1, 3])
def test_a_list_has_no_place_beyond_its_ends(index):
    with pytest.raises(KeyError):
        with_inserted(BASE, "plan", index, {})
    with pytest.raises(KeyError):
        with_moved(BASE, "plan.0", index)
    with pytest.raises(KeyError):
        with_inserted(BASE, "stations.0.extras.0.hours", 0, ("05:00", "06:00"))


NUMBERS = [
    "stations.0.radio.receive_a",
    "stations.0.battery.capacity_ah",
    "site.albedo",
    "stations.0.reserve_fraction",
    "day.wind_m_s",
    "plan.0.rf_w",
    "stations.0.tuner.idle_a",
]


@settings(max_examples=40)
@given(scenarios(max_days=3, max_blocks=4), st.sampled_from(NUMBERS), st.data())
def test_what_is_put_in_is_found_there_and_taking_it_back_is_no_change(scenario, path, data):
    try:
        before = value_at(scenario, path)
    except KeyError:
        return
    value = data.draw(st.sampled_from(number_values(path)))
    new = with_value(scenario, path, value)
    assert value_at(new, path) == value
    assert with_value(new, path, before) == scenario
    assert Scenario.model_validate(new.model_dump(by_alias=True)) == new


# ---- facts of a field


def test_facts_come_from_the_field():
    assert field_at("stations.0.battery.capacity_ah") == FieldFacts(
        path="stations.0.battery.capacity_ah",
        label="Rated capacity",
        kind="number",
        unit="Ah",
        decimals=1,
        help="Printed on one battery; lead-acid at its 20-hour rate.",
        low=0,
        high=5000,
        low_open=True,
        required=True,
        spread=0.03,
    )


@pytest.mark.parametrize(
    ("path", "expected"),
    [
        (
            "stations.3.radio.rf_max_w",
            {
                "kind": "number",
                "optional": True,
                "required": False,
                "low": 0,
                "low_open": True,
                "high": 5000,
            },
        ),
        (
            "stations.0.reserve_fraction",
            {
                "high": 1,
                "high_open": True,
                "low": 0,
                "low_open": False,
                "default": 0.0,
                "decimals": 2,
            },
        ),
        (
            "day.low_c",
            {
                "kind": "numbers",
                "unit": "°C",
                "low": -70,
                "high": 60,
                "max_items": 16,
                "default": (25.0,),
            },
        ),
        ("day.low_c.3", {"kind": "number", "unit": "°C", "low": -70, "high": 60}),
        ("climate.clearness", {"kind": "numbers", "min_items": 12, "max_items": 12}),
        ("day.date", {"kind": "date", "low": date(1950, 1, 1), "high": date(2149, 12, 31)}),
        ("day.days", {"kind": "whole", "low": 1, "high": 14, "default": 1}),
        ("title", {"kind": "text", "max_length": 200, "default": ""}),
        ("notes", {"kind": "prose", "max_length": 8000}),
        ("plan", {"kind": "list", "max_items": 500}),
        ("stations", {"kind": "list", "min_items": 1, "max_items": 4, "required": True}),
        ("plan.7.start", {"kind": "clock", "required": True}),
        ("plan.7.processed", {"kind": "flag", "default": False}),
        (
            "plan.7.activity",
            {"kind": "choice", "choices": ("off", "watch", "voice", "morse", "fm", "slots", "arq")},
        ),
        (
            "stations.0.leads.0.insulation_c",
            {"kind": "choice", "default": 75, "choices": (60, 75, 80, 90, 105, 125, 200)},
        ),
        ("stations.0.leads.0.for", {"kind": "choice", "label": "Feeds", "required": True}),
        ("stations.0.extras.0.hours", {"kind": "hours", "default": "always"}),
        ("stations.0.extras.0.hours.2.0", {"kind": "clock", "label": "From"}),
        (
            "stations.0.radio.key_down",
            {"kind": "points", "max_items": 20, "columns": ("RF power", "Key-down current")},
        ),
        (
            "stations.0.radio.key_down.5.0",
            {"kind": "number", "label": "RF power", "unit": "W", "high": 5000},
        ),
        (
            "stations.0.radio.key_down.5.1",
            {"kind": "number", "label": "Key-down current", "unit": "A", "high": 1000},
        ),
        ("site.horizon.9.1", {"label": "Elevation", "unit": "°", "high": 90}),
        ("stations.0.amplifier", {"kind": "part", "optional": True, "required": False}),
        ("stations.0.battery", {"kind": "part", "optional": False, "required": True}),
        ("stations.0.radio.sources", {"kind": "sources"}),
        (
            "stations.0.radio.sources.receive_a.from",
            {"kind": "choice", "choices": ("measured", "datasheet", "guess")},
        ),
        ("stations.0.radio.sources.receive_a.on", {"kind": "date", "optional": True}),
    ],
)
def test_each_kind_of_field_tells_its_facts(path, expected):
    facts = field_at(path)
    assert {name: getattr(facts, name) for name in expected} == expected


def test_no_field_is_without_facts_that_agree_with_its_default():
    """Every leaf of the whole tree: a label, a kind, a default inside its own bounds."""
    count = 0
    for path in leaves(""):
        facts = field_at(path)
        count += 1
        assert facts.label
        assert describe(path)
        if facts.kind in ("number", "whole"):
            assert facts.low is not None
            assert facts.high is not None
            assert facts.required or facts.default is None or facts.low <= facts.default
            assert facts.required or facts.default is None or facts.default <= facts.high
        if facts.kind == "choice":
            assert facts.required or facts.default in facts.choices
    assert count > 140


def leaves(path: str) -> list[str]:
    found = []
    for key in known_keys(path):
        here = f"{path}.{key}" if path else key
        kind = field_at(here).kind
        if kind == "part":
            found += leaves(here)
        elif kind == "list":
            found += leaves(f"{here}.0")
        else:
            found.append(here)
    return found


@pytest.mark.parametrize(
    "path",
    [
        "nothing",
        "stations.x.name",
        "title.0",
        "site.horizon.0.2",
        "stations.0.leads.0.feeds",
        "stations.0.radio.receive_a.b",
    ],
)
def test_there_are_no_facts_where_no_field_can_be(path):
    with pytest.raises(KeyError):
        field_at(path)


@pytest.mark.parametrize(
    ("path", "words"),
    [
        ("stations.1.battery.capacity_ah", "station 2, battery, rated capacity"),
        ("stations.0", "station 1"),
        ("stations.0.radio.rf_max_w", "station 1, radio, highest RF power"),
        ("plan.2.rf_w", "block 3, RF power"),
        ("day.low_c", "day, low"),
        ("day.low_c.3", "day, low, number 4"),
        ("site.horizon.2.1", "site, horizon, point 3, elevation"),
        ("stations.0.leads.1.awg", "station 1, lead 2, conductor, AWG"),
        ("stations.0.extras.0.hours.1.0", "station 1, extra 1, hours, period 2, from"),
        ("stations.0.radio.sources.receive_a", "station 1, radio, source of receive current"),
        ("title", "title"),
    ],
)
def test_a_path_reads_as_words_counted_from_one(path, words):
    assert describe(path) == words


def test_every_part_of_a_scenario_is_a_value_that_cannot_change():
    from pydantic import ValidationError

    for path in ("site", "day", "plan.0", "stations.0", "stations.0.radio"):
        part = value_at(BASE, path)
        assert isinstance(part, Value)
        with pytest.raises(ValidationError):
            part.name = "other"
        hash(part)
