"""Laws of a group, for any valid stations: everything has an answer, and a spare never harms."""

from __future__ import annotations

import json

from hypothesis import given, settings
from hypothesis import strategies as st
from jsonschema import Draft202012Validator

from model.export.document_schema import document_schema
from model.export.group_data import drill_data, group_data
from model.group.drill import drill
from model.group.group import Group, Post, Spare
from model.group.group_run import run_group
from model.group.kits import LoadedGroup, kits_of
from model.group.power_matrix import power_matrix
from model.group.shared_odds import group_odds, with_odds
from model.group.single_points import shared_points
from model.group.spares import allot_spares
from model.scenario.scenario import Scenario
from tests.strategies import scenarios

NOT_HEAD = {"kind", "format", "program", "file", "input_mark"}


def group_of(scenario: Scenario) -> LoadedGroup:
    """Every station of a scenario as a post, the battery of the first as a spare beside them."""
    posts = tuple(
        Post(kit=f"{n + 1:02d}", scenario="x.toml", station=n + 1, role="net control", place="Base")
        for n in range(len(scenario.stations))
    )
    spare = Spare(where="Base", battery=scenario.stations[0].battery)
    group = Group(day=scenario.day, climate=scenario.climate, posts=posts, spares=(spare,))
    return LoadedGroup(group, (("x.toml", scenario),))


def is_as_declared(kind: str, data: object) -> bool:
    schema = document_schema(kind)
    schema["required"] = [key for key in schema["required"] if key not in NOT_HEAD]
    plain = json.loads(json.dumps(data, allow_nan=False))
    return not list(Draft202012Validator(schema).iter_errors(plain))


@settings(max_examples=4)
@given(scenarios(max_days=1), st.data())
def test_any_stations_make_a_group_that_answers(scenario: Scenario, data: st.DataObject) -> None:
    whole = group_of(scenario)
    result = run_group(whole)
    spares = allot_spares(result)
    odds = group_odds(result, 4)
    matrix = power_matrix(whole.group, kits_of(whole))
    found = group_data(with_odds(result, odds), spares, matrix, shared_points(whole), odds)
    assert is_as_declared("group", found)
    assert {row.kit.post.kit for row in result.posts if row.lasts} <= set(spares.lasting)
    for before, after in zip(result.posts, spares.served, strict=True):
        if before.planned is not None and before.first_end is not None:
            assert after.served_h >= before.first_end.hours_h
    parts = ["battery", "radio", "panel", "controller", "spare1"]
    name = data.draw(st.sampled_from(parts))
    if name == "spare1" or getattr(scenario.stations[0], name) is not None:
        done = drill(whole, [name if name == "spare1" else f"post01.{name}"])
        assert is_as_declared("drill", drill_data(done))
