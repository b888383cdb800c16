"""Parts, tables of parts and lessons from anywhere: read, or refused in plain lines."""

from __future__ import annotations

import random
from collections.abc import Callable
from pathlib import Path

import pytest

from model.editing.faults import ScenarioError
from model.files.scenario_file import FILE_LIMIT_BYTES
from model.lessons.lesson_file import read_lesson
from model.library.parts_csv import COLUMNS_LIMIT, dump_csv, read_csv
from model.library.store import load, parse_parts
from model.reception.table_reading import reports_in
from tests.hostile.mutations import DAMAGES

ROOT = Path(__file__).resolve().parents[2]
FULL = FILE_LIMIT_BYTES - 60
PARTS = [path.read_bytes() for path in sorted((ROOT / "assets/parts").glob("*.toml"))]
TABLE = [dump_csv(load(ROOT / "assets/parts").parts).encode()]
REPORTS = [(ROOT / "scenarios/reports-example.csv").read_bytes()]
LESSONS = [path.read_bytes() for path in sorted((ROOT / "scenarios/lessons").glob("*.toml"))]


def lines_of_parts(data: bytes, _folder: Path) -> list[str]:
    return [str(fault) for fault in parse_parts(data).faults]


def lines_of_table(data: bytes, _folder: Path) -> list[str]:
    return [str(refusal) for refusal in read_csv(data).refusals]


def lines_of_lesson(data: bytes, folder: Path) -> list[str]:
    path = folder / "lesson.toml"
    path.write_bytes(data)
    read_lesson(path)
    return []


def lines_of_reports(data: bytes, _folder: Path) -> list[str]:
    return [] if reports_in(data, "mine.csv", "Europe/Berlin").rows else ["nothing"]


Reader = Callable[[bytes, Path], list[str]]
READERS: list[tuple[Reader, list[bytes]]] = [
    (lines_of_parts, PARTS),
    (lines_of_table, TABLE),
    (lines_of_lesson, LESSONS),
    (lines_of_reports, REPORTS),
]
each_reader = pytest.mark.parametrize(
    ("read", "sound"), READERS, ids=[read.__name__ for read, _ in READERS]
)


def refusals(read: Reader, data: bytes, folder: Path) -> list[str]:
    """Read or be refused, and hold every sentence to one plain line."""
    try:
        lines = read(data, folder)
    except ScenarioError as error:
        lines = [str(fault) for fault in error.faults]
        assert lines
    for line in lines:
        assert 0 < len(line) < 600
        assert not any(ord(mark) < 32 or mark in "\u202e\u2028" for mark in line), repr(line)
    return lines


@pytest.mark.parametrize(("read", "sound"), READERS[:2], ids=["parts", "table"])
def test_what_ships_is_read_without_a_fault(read: Reader, sound: list[bytes], tmp_path: Path):
    assert sound
    for data in sound:
        assert refusals(read, data, tmp_path) == []


@each_reader
def test_what_is_damaged_is_read_or_refused_in_plain_lines(
    read: Reader, sound: list[bytes], tmp_path: Path
):
    refused = 0
    for number in range(120):
        chance = random.Random(number)
        data = chance.choice(sound)
        for _ in range(chance.choice((1, 2, 5))):
            data = chance.choice(DAMAGES)(chance, data)
        refused += bool(refusals(read, data, tmp_path))
    assert refused > 20


@each_reader
@pytest.mark.parametrize(
    "data",
    [
        b"\0" * FULL,
        b"[" * FULL,
        b"a = " + b"[" * FULL,
        b"x" * (10 * FULL),
        b"\xff\xfe" + b"a\0" * 900,
        b"[[radio]]\n" * (FULL // 10),
        b"[[steps]]\n" * (FULL // 10),
        b'[[radio]]\nname = "a"\n' * (FULL // 22),
        b"part,name\n" + b"radio,x\n" * (FULL // 8),
        b"part,name," + b"a," * (FULL // 2 - 20),
        b"part,name\nradio" + b"," * (FULL - 20) + b"x",
        b'part,name\n"' + b"x" * (FULL - 20),
        b'part,name,key_down\nradio,x,"' + b"[" * FULL + b'"',
        b"part,name,receive_a\nradio,x," + b"9" * FULL,
        b'part,name,sources\nradio,x,"{' + b'""a"":{' * (FULL // 8) + b'"',
        b"part,name,mass_kg\nradio,x,1e999\nradio,y,nan\nradio,z,inf\nradio,w,-1\n",
        'part,name\nradio,"\u202e\u2028x"\n'.encode(),
    ],
    ids=lambda data: repr(data[:18]),
)
def test_a_file_as_large_as_allowed_is_refused_whatever_fills_it(
    read: Reader, sound: list[bytes], data: bytes, tmp_path: Path
):
    assert sound
    assert refusals(read, data, tmp_path)


def test_a_table_of_too_many_columns_is_refused_in_one_line(tmp_path: Path):
    header = ",".join(["part", "name", *(f"c{n}" for n in range(COLUMNS_LIMIT))])
    (line,) = refusals(lines_of_table, header.encode(), tmp_path)
    assert f"has {COLUMNS_LIMIT + 2} columns" in line
