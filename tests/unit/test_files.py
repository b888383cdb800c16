"""Scenario files: what is written is read back, and what cannot be read says so in one line."""

from __future__ import annotations

import io
import os
import sys
import tomllib
from datetime import date
from pathlib import Path

import pytest
from hypothesis import given, settings

from model.editing.faults import ScenarioError
from model.editing.field_facts import field_at, known_keys
from model.editing.paths import value_at, with_value
from model.files.scenario_file import (
    FILE_LIMIT_BYTES,
    dump_scenario,
    parse_scenario,
    read_scenario,
    write_scenario,
)
from model.files.toml_text import laid_out, lines_of
from model.scenario.declare import clock_of
from model.scenario.scenario import Scenario
from tests.strategies import scenarios

ROOT = Path(__file__).resolve().parents[2]
SMALL = Scenario.model_validate(
    {
        "title": "Ridge",
        "site": {"latitude_deg": 46.5, "longitude_deg": 12},
        "day": {"date": date(2027, 6, 21)},
        "stations": [
            {"radio": {"receive_a": 0.16}, "battery": {"chemistry": "LFP", "capacity_ah": 20}}
        ],
    }
)


def only_fault(source: bytes | Path | str) -> str:
    with pytest.raises(ScenarioError) as caught:
        parse_scenario(source) if isinstance(source, bytes) else read_scenario(source)
    (fault,) = caught.value.faults
    return str(fault)


# ---- what is written is read back


@settings(max_examples=60)
@given(scenarios())
def test_what_is_written_is_read_back(scenario):
    assert parse_scenario(dump_scenario(scenario).encode()) == scenario


@settings(max_examples=20)
@given(scenarios())
def test_every_key_that_is_written_has_a_line_that_holds_it(scenario):
    text = dump_scenario(scenario)
    rows = text.splitlines() if "\r" not in text else text.split("\n")
    written = tomllib.loads(text)
    for path, line in lines_of(text).items():
        key = path.rpartition(".")[2]
        if key.isdigit():
            key = path.split(".")[-2]
        assert key in rows[line - 1]
        here = written
        segments = path.split(".")
        if path.startswith("variants."):
            # What a variant changes is one key, with dots in it.
            segments = [*segments[:3], *filter(None, [".".join(segments[3:])])]
        for segment in segments:
            here = here[int(segment) if segment.isdigit() else segment]


@pytest.mark.parametrize("path", sorted((ROOT / "scenarios").glob("*.toml")), ids=lambda p: p.stem)
def test_the_scenarios_that_ship_survive_a_save(path, tmp_path):
    scenario = read_scenario(path)
    write_scenario(scenario, tmp_path / "copy.toml")
    assert read_scenario(tmp_path / "copy.toml") == scenario


def test_a_file_reads_like_the_design_lays_it_out():
    scenario = parse_scenario(b"""
        format = 2
        title = "A"
        site = {latitude_deg = 46.5, longitude_deg = 12.0, horizon = [[0, 5.5], [90, 12]]}
        day = {date = 2027-06-21, days = 2, low_c = [3, 4.5], sky = "rain"}
        notes = "one\\ntwo \\"quoted\\""
        [[stations]]
        radio = {receive_a = 0.16, sources = {receive_a = {from = "measured", spread = 0.05}}}
        battery = {chemistry = "LFP", capacity_ah = 20.0}
        tuner = {}
        extras = [{current_a = 0.2, hours = [["18:00", "23:00"]]}]
        """)
    assert (
        dump_scenario(scenario)
        == '''\
format = 2
title = "A"
notes = """
one
two \\"quoted\\""""

[site]
latitude_deg = 46.5
longitude_deg = 12
horizon = [[0, 5.5], [90, 12]]

[day]
date = 2027-06-21
days = 2
sky = "rain"
low_c = [3, 4.5]

[[stations]]

[stations.radio]
receive_a = 0.16
sources = { receive_a = { from = "measured", spread = 0.05 } }

[stations.tuner]

[stations.battery]
chemistry = "LFP"
capacity_ah = 20

[[stations.extras]]
current_a = 0.2
hours = [["18:00", "23:00"]]
'''
    )


def test_long_lists_are_wrapped_and_long_sources_stand_one_to_a_line():
    text = laid_out(
        {
            "site": {"horizon": [[float(step), 1.5] for step in range(60)]},
            "radio": {"sources": {key: {"from": "guess", "note": "x" * 40} for key in "abc"}},
        }
    )
    assert max(map(len, text.splitlines())) <= 100
    assert '[radio.sources]\na = { from = "guess"' in text
    assert tomllib.loads(text)["site"]["horizon"][59] == [59, 1.5]


def test_a_number_keeps_every_digit():
    for value in (0.1 + 0.2, 1e-9, 1 / 3, 4999.999999999999, 3.0):
        changed = with_value(SMALL, "stations.0.battery.capacity_ah", value)
        assert (
            value_at(
                parse_scenario(dump_scenario(changed).encode()), "stations.0.battery.capacity_ah"
            )
            == value
        )


# ---- what cannot be read says so in one line


def test_utf8_is_read_with_and_without_a_byte_order_mark_and_with_any_line_ends():
    text = dump_scenario(SMALL).encode()
    assert parse_scenario(b"\xef\xbb\xbf" + text) == SMALL
    assert parse_scenario(text.replace(b"\n", b"\r\n")) == SMALL


@pytest.mark.parametrize(
    ("data", "sentence"),
    [
        (b"format = 2\ntitle = 'caf\xe9'", "line 2: is not UTF-8 text (byte 0xe9)"),
        ("format = 2".encode("utf-16"), "is UTF-16 text; save it as UTF-8"),
        (b"format = 2\ntitle Ridge", 'line 2, column 7: an "=" was expected after the key'),
        (
            b"format = 2\ntitle = Ridge",
            "line 2, column 9: this is no value; text stands in"
            " quotes, a number uses a decimal point",
        ),
        (
            b'title = "Ridge',
            "line 1, at the end of the file: text that begins with a quote does not end with one",
        ),
        (
            b'title = "Ridge\nformat = 2',
            "line 1, column 15: text that begins with a quote does not end on its line",
        ),
        (
            b"title = 'Ridge\nname = 'Hut'",
            "line 1, column 15: text that begins with a quote does not end on its line",
        ),
        (
            b"title = 'Ridge",
            "line 1, at the end of the file: text that begins with a quote does not end with one",
        ),
        (
            b'title = """Ridge',
            "line 1, at the end of the file: text that begins with a quote does not end with one",
        ),
        (
            b"title = '''Ridge",
            "line 1, at the end of the file: text that begins with three quotes"
            " does not end with them",
        ),
        (b'title = "a\x01"', "line 1, column 11: this character may not stand here"),
        (b"title = 'a\x01'", "line 1, column 11: this character may not stand here"),
        (b"a = 1\na = 2\n", "line 2, column 6: this key was given before"),
        (b"[a]\n[a]", "line 2, column 3: this table was given before"),
        (b"a = 1,5", "line 1, column 6: the line goes on after its value; a date reads 2027-03-01"),
        (b"[site\n", "line 1, column 6: a [table] ends with ]"),
        (b"[[plan]\n", "line 1, column 7: a [[table]] ends with ]]"),
        (
            b"a = [1, 2",
            "line 1, at the end of the file: a list that begins with [ does not end with ]",
        ),
        (
            b'a = "\\q"',
            "line 1, column 8: a backslash in text is written twice, or the text stands in"
            " single quotes",
        ),
        (b"a = 2027-02-30", "line 1, column 5: there is no such date or time"),
        (b"\x00", "line 1, column 1: a key or a [table] was expected here"),
        (b"a = [" + b"[" * 5000, "holds lists or tables nested too deeply"),
        (b"a = " + b"{a = " * 5000, "holds lists or tables nested too deeply"),
        (b"\na = " + b"9" * 5000, "holds a number with too many digits"),
        (b"a." * 100_000 + b"a = 1", "holds a key with too many dots"),
        (b"[" + b"'a' . " * 100_000 + b"a]", "holds a key with too many dots"),
        (
            b"a = [" + b"1," * 200_000 + b"]",
            "holds more keys and list entries than any scenario can",
        ),
        (b"#" * (FILE_LIMIT_BYTES + 1), "is too large; a scenario file may hold at most 1 MB"),
    ],
)
def test_text_that_is_no_toml_is_placed(data, sentence):
    assert only_fault(data) == sentence


def test_lists_nested_to_just_below_the_readers_limit_are_only_a_fault():
    for depth in range(50, 1000, 50):
        text = dump_scenario(SMALL) + "extras = " + "[" * depth + "]" * depth
        with pytest.raises(ScenarioError):
            parse_scenario(text.encode())


def test_a_number_with_too_many_digits_is_placed():
    with pytest.raises(ScenarioError) as caught:
        parse_scenario(b"\na = " + b"9" * 5000)
    assert caught.value.faults[0].line == 2


def test_marks_in_text_are_no_keys():
    text = dump_scenario(with_value(SMALL, "notes", "a." * 3000))
    assert parse_scenario(text.encode()).notes == "a." * 3000
    assert parse_scenario(f"{text}\n# {'=' * 200_000}".encode()).title == "Ridge"


def test_the_fullest_scenario_is_read():
    """Every list as long as it may be, and a source beside every number."""

    def full(path: str) -> dict:
        table = {}
        for key in known_keys(path):
            facts = field_at(f"{path}.{key}")
            if facts.kind in ("number", "whole") and not facts.low_open:
                table[key] = facts.low
            elif facts.kind == "hours":
                table[key] = [["00:00", "01:00"]] * 48
            elif facts.kind == "points":
                table[key] = [[step, 1.0] for step in range(20)]
        numbers = [key for key in table if key != "hours"]
        return table | {"sources": {key: {"from": "guess", "spread": 0.5} for key in numbers}}

    needed = {"leads": {"for": "radio"}, "chargers": {"current_a": 1}, "extras": {}}
    station = {}
    for name, keys in needed.items():
        most = field_at(f"stations.0.{name}").max_items
        station[name] = [full(f"stations.0.{name}.0") | keys] * most
    station |= {
        "radio": full("stations.0.radio"),
        "battery": full("stations.0.battery")
        | {"chemistry": "AGM", "capacity_ah": 1, "cells": 6, "count": 1},
    }
    plan = [
        {
            "start": clock_of(step),
            "end": clock_of(step + 1),
            "activity": "voice",
            "rf_w": 1,
            "transmit_share": 0.5,
            "note": "x",
        }
        for step in range(500)
    ]
    fullest = with_value(with_value(SMALL, "plan", plan), "stations", [station] * 4)
    horizon = [[step, 1.0] for step in range(360)]
    changes = {"site.horizon": horizon} | {f"plan.{step}.rf_w": 1.0 for step in range(49)}
    variants = [
        {"name": str(count), "changes": changes, "left_out": ["plan.0.frequency_mhz"] * 50}
        for count in range(20)
    ]
    fullest = with_value(fullest, "variants", variants)
    text = dump_scenario(fullest)
    assert len(text) > 400_000
    assert parse_scenario(text.encode()) == fullest


def test_only_a_file_is_read(tmp_path):
    assert only_fault(tmp_path / "none.toml") == "none.toml: there is no such file or folder"
    assert only_fault(tmp_path) == f"{tmp_path.name}: is not a file"
    assert only_fault("a\0b") == "a?b: is no file name"
    assert only_fault(tmp_path / ("x" * 300)) == "x" * 300 + ": the name is too long"
    os.mkfifo(tmp_path / "pipe")
    assert only_fault(tmp_path / "pipe") == "pipe: is not a file"
    assert only_fault("/dev/zero") == "zero: is not a file"
    (tmp_path / "loop").symlink_to(tmp_path / "loop")
    assert only_fault(tmp_path / "loop") == "loop: the link leads in a circle"


def test_a_large_file_is_not_read_whole(tmp_path):
    with (tmp_path / "large.toml").open("wb") as file:
        file.truncate(1 << 40)
    assert only_fault(tmp_path / "large.toml").startswith("large.toml: is too large")


def test_a_dash_reads_standard_input(monkeypatch):
    def give(data: bytes) -> None:
        monkeypatch.setattr(sys, "stdin", io.TextIOWrapper(io.BytesIO(data)))

    give(dump_scenario(SMALL).encode())
    assert read_scenario("-") == SMALL
    give(b"#" * (FILE_LIMIT_BYTES + 1))
    assert only_fault("-").startswith("standard input: is too large")
