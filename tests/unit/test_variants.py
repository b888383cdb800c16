"""Named variants: what they change, how they are kept, and one that does not fit."""

from __future__ import annotations

import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from model.advice.advice import counsel
from model.editing.edit_stations import with_station_duplicated
from model.editing.faults import ScenarioError
from model.editing.paths import value_at, with_moved, with_removed, with_value, with_values
from model.editing.station_variants import (
    is_of_station,
    kept_as_variant,
    set_beside,
    switched_to,
)
from model.editing.variant_moves import following
from model.editing.variants import (
    as_variant,
    renamed,
    variant_of,
    with_variant,
    without_variant,
    without_variants,
)
from model.engine.comparison import simulate
from model.export.fingerprint import fingerprint
from model.export.outcome_data import as_data
from model.files.scenario_file import dump_scenario, parse_scenario
from model.findings.rules import find
from model.scenario.scenario import CHANGES_LIMIT, VARIANTS_LIMIT, Block, Scenario
from tests.hostile.mutations import SCENARIOS
from tests.laws.sample_kits import one_box, question, small_kit
from tests.strategies import field, scenarios
from tests.unit.scenario_maker import scenario

PAIR = question(small_kit(), one_box())
PANEL_W = "stations.0.panel.rated_w"


def forty_watts(scenario: Scenario = PAIR) -> Scenario:
    return as_variant(scenario, with_value(scenario, PANEL_W, 40.0), "40 W panel", "lighter")


def faults_in(lines: str) -> list[str]:
    with pytest.raises(ScenarioError) as caught:
        parse_scenario(f"{dump_scenario(PAIR)}\n{lines}\n".encode())
    return [str(fault) for fault in caught.value.faults]


def refusal(base: Scenario, changed: Scenario) -> str:
    with pytest.raises(ScenarioError) as caught:
        as_variant(base, changed, "other")
    [fault] = caught.value.faults
    return fault.message


def test_a_variant_is_the_scenario_with_its_values_changed():
    held = forty_watts()
    assert held.variants[0].changes == ((PANEL_W, 40.0),)
    made = variant_of(held, "40 W panel")
    assert made == with_value(PAIR, PANEL_W, 40.0)
    assert made.variants == ()
    assert made.stations[1] is held.stations[1]


def test_what_stays_at_home_is_left_out():
    changed = with_values(
        PAIR, {"stations.0.panel": None, "stations.1.battery.discharge_limit_a": 12.0}
    )
    held = as_variant(PAIR, changed, "no panel")
    assert held.variants[0].left_out == ("stations.0.panel",)
    assert variant_of(held, "no panel") == changed


def test_a_file_may_write_its_paths_with_or_without_quotes():
    text = dump_scenario(forty_watts())
    assert f'[variants.changes]\n"{PANEL_W}" = 40\n' in text
    bare = text.replace(f'"{PANEL_W}"', PANEL_W)
    assert parse_scenario(text.encode()) == parse_scenario(bare.encode()) == forty_watts()


def test_variants_change_neither_the_run_nor_the_mark_of_the_input():
    held = forty_watts()
    assert fingerprint(held) == fingerprint(PAIR)
    one, other = simulate(held), simulate(PAIR)
    assert as_data(one, counsel(one)) == as_data(other, counsel(other))


@settings(max_examples=25, deadline=None)
@given(scenarios(max_days=2, max_blocks=4))
def test_a_scenario_with_variants_is_read_as_it_was_written(scenario):
    assert parse_scenario(dump_scenario(scenario).encode()) == scenario
    assert fingerprint(scenario) == fingerprint(without_variants(scenario))
    for index, variant in enumerate(scenario.variants):
        misfit = [f for f in find(scenario) if f.path == f"variants.{index}"]
        if misfit:
            assert misfit[0].level == "warning"
            with pytest.raises(ScenarioError):
                variant_of(scenario, variant.name)
        else:
            made = variant_of(scenario, variant.name)
            assert parse_scenario(dump_scenario(made).encode()) == made


@settings(max_examples=40, deadline=None)
@given(st.sampled_from(SCENARIOS), st.data())
def test_what_is_kept_as_a_variant_comes_back_as_it_was(base, data):
    slots = ("radio.receive_a", "battery.capacity_ah", "battery.name", "reserve_fraction",
             "battery.tested_fraction", "radio.key_down", "radio.sources")  # fmt: skip
    changed = base
    for slot in data.draw(st.lists(st.sampled_from(slots), min_size=1, unique=True)):
        path = f"stations.{data.draw(st.integers(0, len(base.stations) - 1))}.{slot}"
        changed = with_value(changed, path, data.draw(field(path)))
    changed = without_variants(changed)
    assume(changed != without_variants(base))
    held = as_variant(base, changed, "another")
    assert variant_of(held, "another") == changed
    assert parse_scenario(dump_scenario(held).encode()) == held


def test_the_faults_of_changes_are_told_at_their_places():
    lines = """
[[variants]]
name = "lighter"
left_out = ["stations.0.battery"]
[variants.changes]
"stations.1.battery.capacity" = 3
"stations.1.battery.capacity_ah" = -3
"stations.first.name" = "x"
"stations.0.radio" = 3
"day.low_c.0" = 1
"day.date" = "tomorrow"
"variants.0.name" = "x"
"stations.0.battery.sources.capacity_a.from" = "guess"
"""
    at = "variants.0.changes."
    assert faults_in(lines) == [
        f"{at}stations.1.battery.capacity: leads nowhere; the nearest known path is"
        ' "stations.1.battery.capacity_ah"',
        f"{at}stations.1.battery.capacity_ah: must be greater than 0, got -3",
        f'{at}stations.first.name: leads nowhere: entries are counted from 0, as in "stations.0"',
        f"{at}stations.0.radio: leads to a table; name one value in it: name, mass_kg, cost,"
        " sources, receive_a, off_a, key_down, rf_min_w, rf_max_w, supply_min_v, supply_max_v,"
        " receive_min_v, plug, polarity, fuse_type",
        f'{at}day.low_c.0: leads into a single value; write the whole of it at "day.low_c"',
        f'{at}day.date: must be a date such as 2027-03-01, without quotes, got text "tomorrow"',
        f"{at}variants.0.name: is not for a variant to change",
        f"{at}stations.0.battery.sources.capacity_a.from: leads nowhere; the nearest known path is"
        ' "stations.0.battery.sources.capacity_ah.from"',
        "variants.0.left_out.0: cannot be left out: only parts and numbers that a file may do"
        " without can",
    ]


@pytest.mark.parametrize(
    ("lines", "fault"),
    [
        ('[[variants]]\nname = " "', 'variants.0.name: must not be blank'),
        ("[[variants]]", "variants.0.name: is missing: name"),
        ('[[variants]]\nname = "a"\n[[variants]]\nname = "a"',
         "variants.1.name: is the name of variants.0 too; each needs its own"),
        ('[[variants]]\nname = "a"\nchanges = 3',
         'variants.0.changes: must be a table such as { "stations.0.panel.rated_w" = 60 },'
         " got 3"),
        ('[[variants]]\nname = "a"\nchanges = { "plan" = [{ start = "00:00" }] }',
         'variants.0.changes: must lead to single values, and "plan" is given a table'),
        ('[[variants]]\nname = "a"\n[[variants.variants]]\nname = "b"',
         'variants.0.variants: is not a key here; known keys are name, note, changes, left_out'),
        ("".join(f'[[variants]]\nname = "{n}"\n' for n in range(VARIANTS_LIMIT + 1)),
         "variants: must hold at most 20 variants, got 21"),
        ('[[variants]]\nname = "a"\n[variants.changes]\n'
         + "\n".join(f'"plan.{n}.rf_w" = 1' for n in range(CHANGES_LIMIT + 1)),
         "variants.0.changes: must hold at most 50 entries, got 51"),
    ],
)  # fmt: skip
def test_a_variant_of_another_shape_is_one_fault(lines, fault):
    assert fault in faults_in(lines)


@pytest.mark.parametrize(
    ("base", "sentence"),
    [
        (with_value(PAIR, "stations.0.panel", None), "station 1 has no panel"),
        (with_removed(with_moved(PAIR, "stations.0", 1), "stations.0"), "station 1 has no panel"),
        (with_value(PAIR, "plan", ()), "the scenario has no block 1"),
    ],
)
def test_a_path_that_fits_no_more_is_a_warning_and_the_file_still_saves(base, sentence):
    variants = (
        *forty_watts().variants,
        *as_variant(PAIR, with_value(PAIR, "plan.0.note", "later"), "later").variants,
    )
    base = base.model_copy(update={"variants": variants})
    base = with_value(base, "stations.0.panel", None)
    warnings = [f for f in find(base) if f.path.startswith("variants.")]
    assert any(sentence in found.sentence for found in warnings)
    assert {found.level for found in warnings} == {"warning"}
    again = parse_scenario(dump_scenario(base).encode())
    assert again == base
    assert simulate(again).runs[0] is not None
    with pytest.raises(ScenarioError, match=r"variants.0: station 1 has no panel"):
        variant_of(again, "40 W panel")


def test_a_variant_that_contradicts_the_scenario_is_a_warning():
    at_six = (Block(start="06:00", end="07:00", activity="watch"),)
    early = with_value(PAIR, "plan", (*at_six, Block(start="08:00", end="09:00", activity="watch")))
    held = as_variant(early, with_value(early, "plan.0.end", "08:00"), "longer watch")
    assert not [f for f in find(held) if f.path.startswith("variants")]
    earlier = with_value(held, "plan.1.start", "07:00")
    [found] = [f for f in find(earlier) if f.path.startswith("variants")]
    assert "overlaps" in found.sentence


def test_what_is_more_than_values_is_refused_in_words():
    assert refusal(PAIR, PAIR) == "nothing differs from the scenario"
    more = with_value(PAIR, "stations", (*PAIR.stations, PAIR.stations[0]))
    assert refusal(PAIR, more).startswith("stations: the list is longer or shorter")
    bare = with_value(PAIR, "stations.0.panel", None)
    assert refusal(bare, PAIR).startswith("station 1, panel was added")


def test_names_are_single_and_the_nearest_is_told():
    held = forty_watts()
    with pytest.raises(ScenarioError, match="is the name of"):
        with_variant(held, held.variants[0])
    with pytest.raises(ScenarioError, match='none is called "40W"; the nearest is "40 W panel"'):
        variant_of(held, "40W")
    with pytest.raises(ScenarioError, match="this scenario holds no variants"):
        variant_of(PAIR, "40W")
    other = renamed(held, "40 W panel", "small panel")
    assert [variant.name for variant in other.variants] == ["small panel"]
    with pytest.raises(ScenarioError, match="must not be blank"):
        renamed(other, "small panel", " ")
    assert without_variant(other, "small panel") == PAIR


def test_variants_follow_their_stations_and_blocks():
    held = forty_watts()
    held = as_variant(held, with_value(held, "stations.1.battery.capacity_ah", 9.0), "small")
    moved = following(held, with_moved(held, "stations.0", 1))
    assert moved.variants[0].changes == (("stations.1.panel.rated_w", 40.0),)
    assert moved.variants[1].changes == (("stations.0.battery.capacity_ah", 9.0),)
    assert following(moved, with_moved(moved, "stations.1", 0)).variants == held.variants
    edited = following(held, with_value(held, "stations.0.name", "Other"))
    assert edited.variants == held.variants
    fewer = following(held, with_removed(held, "stations.0"))
    assert fewer.variants[0].changes == ()
    assert fewer.variants[1].changes == (("stations.0.battery.capacity_ah", 9.0),)


def test_a_block_is_followed_by_its_times_where_it_was_edited_too():
    plan = [
        {"start": "00:00", "end": "12:00", "activity": "watch"},
        {
            "start": "12:00",
            "end": "18:00",
            "activity": "voice",
            "rf_w": 10.0,
            "transmit_share": 0.2,
        },
    ]
    base = question(small_kit(), plan=plan)
    held = as_variant(base, with_value(base, "plan.1.rf_w", 5.0), "5 W")
    split = [plan[0] | {"end": "06:00"}, plan[0] | {"start": "07:00"}, plan[1]]
    after = following(held, with_value(held, "plan", split))
    assert after.variants[0].changes == (("plan.2.rf_w", 5.0),)
    assert value_at(variant_of(after, "5 W"), "plan.2.rf_w") == 5.0


def test_several_values_are_put_at_once():
    both = {"day.days": 2, "day.low_c": (1.0, 2.0)}
    assert with_values(PAIR, both).day.low_c == (1.0, 2.0)
    with pytest.raises(KeyError, match="above another"):
        with_values(PAIR, {PANEL_W: 40.0, "stations.0.panel": None})
    with pytest.raises(KeyError, match="below another"):
        with_values(PAIR, {"stations.0.panel": None, PANEL_W: 40.0})


def test_a_station_kept_as_a_variant_is_switched_to_and_back_and_set_beside():
    given = scenario(station={"name": "A"})
    given = with_station_duplicated(given, 0)
    given = with_values(given, {"stations.1.name": "B", "stations.1.battery.capacity_ah": 9.0})
    kept = kept_as_variant(given, 1, 0)
    [variant] = kept.variants
    assert variant.name == "B"
    assert is_of_station(variant, 0)
    assert not is_of_station(variant, 1)
    switched = switched_to(kept, "B")
    assert switched.stations[0] == given.stations[1]
    assert [each.name for each in switched.variants] == ["Before B"]
    back = switched_to(switched, "Before B")
    assert back.stations == given.stations
    assert [each.name for each in back.variants] == ["B"]
    shown = set_beside(kept, 0, "B").stations
    assert [each.name for each in shown] == ["A", "B 2", "B"]
    assert shown[1].battery.capacity_ah == 9.0
    with pytest.raises(ScenarioError, match="nothing differs"):
        kept_as_variant(switched, 1, 0)
    # A variant leaves parts out and adds none: what had one more is brought back by undo alone.
    bare = kept_as_variant(with_value(given, "stations.1.panel", None), 1, 0)
    left = switched_to(bare, "B")
    assert left.stations[0].panel is None
    assert left.variants == bare.variants
