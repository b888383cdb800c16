"""Parts in a spreadsheet's table: the round trip, formulas made harmless, and broken lines."""

from __future__ import annotations

import csv
import io
from datetime import date

import pytest
from hypothesis import given
from hypothesis import strategies as st

from app.resources import resource
from model.editing.faults import ScenarioError
from model.library.catalogue import Library
from model.library.parts_csv import dump_csv, read_csv
from model.library.store import load
from model.scenario.declare import Source
from model.scenario.station import Extra, Panel, Part, Radio

NAMES = st.text(
    st.characters(exclude_categories=["Cc", "Cs", "Zl", "Zp"], exclude_characters="\ufeff"),
    min_size=1, max_size=40,
).filter(lambda name: name == name.strip())  # fmt: skip


def rows(text: str) -> list[list[str]]:
    return list(csv.reader(io.StringIO(text.removeprefix("\ufeff"), newline="")))


def read(text: str) -> tuple[tuple[Part, ...], list[str]]:
    found = read_csv(text.encode())
    return found.parts, [str(refusal) for refusal in found.refusals]


def test_the_starter_library_survives_the_table() -> None:
    starter = load(resource("assets/parts"))
    found = read_csv(dump_csv(starter.parts).encode())
    assert found.refusals == ()
    assert found.parts == starter.parts


def test_sources_survive_the_table() -> None:
    source = Source.model_validate(
        {"from": "measured", "on": date(2027, 3, 1), "spread": 0.05, "note": 'he said "quiet",\n;'}
    )
    radio = Radio(name="R", receive_a=0.2, sources=(("receive_a", source),))
    found = read_csv(dump_csv((radio,)).encode())
    assert found.parts == (radio,)


# OWASP, "CSV Injection": a cell that begins with = + - @, tab or carriage return may be run.
@pytest.mark.parametrize("name", ["=1+1", "+1", "-1", "@sum(A1)", "＝1+1", "'=1+1", "''-x", " =1"])
def test_no_text_cell_can_start_a_formula(name: str) -> None:
    part = Extra.model_construct(name=name, group=name)
    [columns, row] = rows(dump_csv((part,)))
    for column, cell in zip(columns, row, strict=True):
        if column in ("name", "group"):
            assert cell == f"'{name}"
    if name == name.strip():
        assert read_csv(dump_csv((part,)).encode()).parts == (Extra(name=name, group=name),)


# Where decimals have a comma, spreadsheets part cells at semicolons, whatever the file holds.
@pytest.mark.parametrize(
    "text", ["a;=1+1", "a; -1", "a;'@b", "a;;+1", ";=1", "=1;=1", "a;b", "a;'b", "a;''=1"]
)
def test_no_part_of_a_cell_can_start_a_formula_after_a_semicolon(text: str) -> None:
    source = Source.model_validate({"from": "guess", "note": text})
    part = Extra(name=text, power_w=1.0, sources=(("power_w", source),))
    written = dump_csv((part,))
    cells = [cell.strip().strip('"') for cell in written.replace("\n", ";").split(";")]
    assert [cell for cell in cells if cell.startswith(tuple("=+-@"))] == []
    assert read_csv(written.encode()).parts == (part,)


def test_every_digit_of_a_number_survives() -> None:
    parts = tuple(Radio(name=str(value), receive_a=value) for value in (9 / 12.9, 0.1 + 0.2, 1e-5))
    assert read_csv(dump_csv(parts).encode()).parts == parts


def test_numbers_stay_numbers_even_when_negative() -> None:
    [columns, row] = rows(dump_csv((Panel(name="P", rated_w=60.0, power_per_c=-0.0045),)))
    cells = dict(zip(columns, row, strict=True))
    assert cells["power_per_c"] == "-0.0045"
    assert cells["rated_w"] == "60"


@given(NAMES, NAMES)
def test_any_name_survives_and_none_starts_a_formula(name: str, group: str) -> None:
    part = Extra(name=name, group=group)
    text = dump_csv((part,))
    assert read_csv(text.encode()).parts == (part,)
    assert all(not cell.startswith(tuple("=+@-\t\r")) for cell in rows(text)[1])


def test_a_table_saved_with_semicolons_and_decimal_commas_is_read() -> None:
    parts, refusals = read(
        "sep=;\r\npart;name;receive_a;mass_kg;key_down\r\n"
        'radio;Small;0,16;620 g;"[[1, 0.95], [5, 1.69]]"\r\n'
    )
    assert refusals == []
    assert parts == (
        Radio(name="Small", receive_a=0.16, mass_kg=0.62, key_down=((1.0, 0.95), (5.0, 1.69))),
    )


def test_broken_lines_are_named_and_the_rest_is_offered() -> None:
    parts, refusals = read(
        "part,name,receive_a,rated_w,colour,key_down\n"
        "radio,Good,0.2,,,\n"
        'radio,"Bad,0.2,,,\n'
        "radio,Wrong,lots,,,\n"
        "radio,Less,-1,,,\n"
        "radio,Other,0.1,60,,\n"
        "toaster,What,1,,,\n"
        "radio,,0.2,,,\n"
        "radio,Good,0.3,,,\n"
        "radio,Many,0.2,,,,9,9\n"
        'radio,Law,0.2,,,"[[1, 2]"\n'
        ",,,,,\n"
        "panel,Sunny,,60,blue,\n"
    )
    assert [part.name for part in parts] == ["Good", "Sunny"]
    expected = [
        'line 1: the column "colour" is unknown',
        "line 3: its quotes",
        'line 4: receive_a: "lots" is not understood',
        "line 5: receive_a: must be at least 0, got -1",
        "line 6: rated_w: a radio has no such field",
        "line 7: part: must be one of",
        "line 8: name: is missing",
        'line 9: name: "Good" stands on an earlier line',
        "line 10: has 8 cells for 6 columns",
        "line 11: key_down: ",
    ]
    assert len(refusals) == len(expected)
    for refusal, start in zip(refusals, expected, strict=True):
        assert refusal.startswith(start)
    assert refusals[5].endswith('got "toaster"')


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("", "columns are missing"),
        ("name,receive_a\nA,0.1\n", "part and name are needed"),
        ("part,name,name\nradio,A,B\n", "stands there twice"),
        ('"part,name\nradio,A\n', "part and name are needed"),
        ("part,name,sources,receive_a\nradio,A,[1],1\n", "sources: must read like"),
        ("part,name,sources,receive_a\nradio,A," + "[" * 3000 + ",1\n", "sources: must read like"),
        ("part,name,key_down\nradio,A," + "[" * 3000 + "\n", "key_down: "),
        ("part,name,wiring,rated_w\npanel,A,sideways,9\n", "wiring: must be one of"),
    ],
)
def test_what_cannot_be_read_is_refused_with_its_reason(text: str, words: str) -> None:
    parts, refusals = read(text)
    assert parts == ()
    assert words in refusals[0]
    assert all(len(refusal) < 400 and "\n" not in refusal for refusal in refusals)


def test_what_is_no_text_is_refused_at_once() -> None:
    with pytest.raises(ScenarioError, match="UTF-8"):
        read_csv(b"part,name\nradio,\xff\n")
    with pytest.raises(ScenarioError, match="too large"):
        read_csv(b"x" * 1_000_001)


def test_a_thousand_faults_are_not_all_told() -> None:
    found = read_csv(("part,name\n" + "toaster,A\n" * 5000).encode())
    assert len(found.refusals) == 101
    assert "not read" in found.refusals[-1].reason


@given(st.binary(max_size=200))
def test_any_bytes_are_read_or_refused(data: bytes) -> None:
    table = b"part,name,receive_a\n" + data
    try:
        found = read_csv(table)
    except ScenarioError as error:
        assert "UTF-8" in str(error)  # noqa: PT017
        return
    assert all(part.name.strip() for part in found.parts)
    assert len(found.parts) + len(found.refusals) <= table.count(b"\n") + table.count(b"\r")


def test_an_import_adds_what_is_new_and_not_what_is_there() -> None:
    starter = load(resource("assets/parts"))
    changed = starter.find("radio", "Manpack, 20 W").model_copy(update={"mass_kg": 2.5})
    grown = Library(starter.parts).with_all((*starter.parts, changed))
    assert len(grown.parts) == len(starter.parts) + 1
    assert grown.find("radio", "Manpack, 20 W (2)").mass_kg == 2.5
