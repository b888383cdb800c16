"""Tables that leave the program: one guard for cells and headings, one rule for the mark."""

from __future__ import annotations

import csv
import io
import re
from pathlib import Path

import pytest

from app.__main__ import main
from app.charts.day.words import table_text
from model.engine.comparison import simulate
from model.files.csv_table import BYTE_ORDER_MARK, csv_file, csv_text, guarded, unguarded
from model.files.scenario_file import dump_scenario
from model.library.parts_csv import dump_csv
from model.scenario.station import Extra
from tests.unit.scenario_maker import changed, scenario

ROOT = Path(__file__).resolve().parents[2]
# OWASP, "CSV Injection": what begins with = + - @, tab or carriage return may be run.
FORMULAS = ["=SUM(1)", "+1", "-1", "@x", "\t=1", "＝1+1", " =1", "'=1", "a;=1", "\r=1"]


@pytest.mark.parametrize("text", FORMULAS)
def test_no_cell_and_no_heading_starts_a_formula(text: str) -> None:
    written = csv_text([text], [[text]])
    for [cell] in csv.reader(io.StringIO(written, newline="")):
        for piece in cell.split(";"):
            assert not piece.lstrip().startswith(("=", "+", "-", "@", "＝"))
    if "\r" not in text:
        assert unguarded(guarded(text)) == text


def test_numbers_stay_numbers_and_nothing_is_empty() -> None:
    rows = [["b, c", None, -1.23456789, float("nan"), True, -3]]
    assert csv_text(["a"] * 6, rows).splitlines()[1] == '"b, c",,-1.23457,,true,-3'
    assert csv_text(["a"], [[0.1], [-20.0]], digits=None) == "a\n0.1\n-20\n"


def test_the_mark_stands_before_what_is_beyond_ascii_and_nowhere_else() -> None:
    assert csv_file(["a"], [["b"]]) == "a\nb\n"
    assert csv_file(["a"], [["ü"]]) == f"{BYTE_ORDER_MARK}a\nü\n"
    assert dump_csv((Extra(name="Lamp", power_w=1.0),)).startswith("part,name")
    assert dump_csv((Extra(name="Lämp", power_w=1.0),)).startswith(f"{BYTE_ORDER_MARK}part,name")


@pytest.mark.parametrize(("name", "mark"), [("=1+1", ""), ("-Grün", BYTE_ORDER_MARK)])
def test_every_minute_goes_through_the_same_writer(tmp_path: Path, name: str, mark: str) -> None:
    file, out = tmp_path / "kit.toml", tmp_path / "minutes.csv"
    file.write_text(dump_scenario(changed(scenario(), name=name)), encoding="utf-8")
    assert main(["run", str(file), "--csv", str(out)]) == 0
    text = out.read_bytes().decode()
    assert text.startswith(f"{mark}time,station,")
    rows = list(csv.DictReader(io.StringIO(text.removeprefix(BYTE_ORDER_MARK))))
    assert len(rows) == 1440
    assert {row["station"] for row in rows} == {f"'{name}"}


def test_the_curves_that_are_pasted_go_through_the_same_writer() -> None:
    lines = table_text(simulate(changed(scenario(), name='=HYPERLINK("x")'))).splitlines()
    rows = list(csv.reader(lines, delimiter="\t"))
    assert len(rows) == 1 + 24 * 4
    assert rows[0][0] == "time"
    assert all(head.startswith("'=HYPERLINK") for head in rows[0][1:])
    assert {len(row) for row in rows} == {5}
    assert float(rows[1][1]) == pytest.approx(100.0, abs=0.5)


OTHER_WRITERS = re.compile(r"csv\.(writer|DictWriter)|\.to_csv\(|\"\\t\"\.join|'\\t'\.join")


def test_no_other_module_writes_a_table() -> None:
    found = {
        path.relative_to(ROOT).as_posix()
        for folder in ("app", "model")
        for path in (ROOT / folder).rglob("*.py")
        if OTHER_WRITERS.search(path.read_text(encoding="utf-8"))
    }
    assert found == {"model/files/csv_table.py"}
