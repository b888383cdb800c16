"""What differs between two scenarios."""

from __future__ import annotations

from hypothesis import given, settings

from model.editing.differences import changed_paths, changes_in_words
from model.editing.field_facts import describe
from model.editing.paths import with_removed, with_value
from tests.hostile.mutations import SCENARIOS
from tests.strategies import scenarios

ONE = SCENARIOS[0]


def test_a_scenario_does_not_differ_from_itself_read_again():
    assert changed_paths(ONE, ONE.model_copy(deep=True)) == ()


def test_every_field_that_was_changed_is_named_once():
    other = with_value(ONE, "title", "Another")
    other = with_value(other, "stations.1.battery.capacity_ah", 7.5)
    other = with_value(other, "day.low_c", -9.0)
    other = with_value(other, "site.horizon", ((1.0, 2.0),))
    assert set(changed_paths(ONE, other)) == {
        "title",
        "site.horizon",
        "day.low_c",
        "stations.1.battery.capacity_ah",
    }


def test_a_part_or_an_entry_that_only_one_has_is_one_change():
    fewer = with_removed(ONE, "plan.0")
    assert changed_paths(ONE, fewer) == ("plan",)
    assert changed_paths(ONE, with_value(ONE, "stations.0.panel", None)) == ("stations.0.panel",)
    assert changed_paths(fewer, ONE) == ("plan",)


def test_words_count_from_one_and_stop_at_the_limit():
    other = with_value(ONE, "stations.1.battery.capacity_ah", 7.5)
    assert changes_in_words(ONE, other, 3) == ("station B, battery, rated capacity",)
    for index, key in enumerate(("title", "notes", "site.name", "day.wind_m_s")):
        other = with_value(other, key, "x" if index < 3 else 3.3)
    words = changes_in_words(ONE, other, 3)
    assert len(words) == 4
    assert words[-1] == "and 2 more"


@settings(max_examples=40)
@given(scenarios(), scenarios())
def test_what_differs_between_any_two_can_be_said(one, other):
    paths = changed_paths(one, other)
    assert bool(paths) == (one != other)
    assert all(describe(path) for path in paths)
    assert len(set(paths)) == len(paths)
