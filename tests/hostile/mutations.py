"""Damaged and extreme scenario files, the same ones for the same number."""

from __future__ import annotations

import random
from collections.abc import Callable
from pathlib import Path

from model.editing.faults import ScenarioError
from model.editing.field_facts import field_at, known_keys
from model.editing.paths import value_at, with_value
from model.files.scenario_file import dump_scenario, read_scenario
from model.scenario.scenario import Day, Scenario
from tests.strategies import number_values

SCENARIOS = tuple(
    read_scenario(path)
    for path in sorted((Path(__file__).resolve().parents[2] / "scenarios").glob("*.toml"))
)
# Most files run one day: what a second one brings is the same step rule once more.
ONE_DAY_SHARE = 0.8
# A file of more is refused unread; to make it must not take more memory than the program does.
MOST_BYTES = 1_100_000
MOST_LINES = 50_000
VALUES = (
    b"-1",
    b"0",
    b"1e308",
    b"-0.0",
    b"nan",
    b"-inf",
    b"0x7fffffffffffffff",
    b"9" * 400,
    b"true",
    b'""',
    b"[]",
    b"{}",
    b"[[]]",
    b"[[0, 0], [0, 0]]",
    b"2027-13-01",
    b"0001-01-01",
    b'"24:00"',
    b'"\\u0000"',
    b'"\\ud800"',
    b'"<img src=x>"',
    b"'''",
    b'"""',
    b"[" * 300,
    b"{a = " * 300,
    '"\u202e\u0301"'.encode(),
    b"1_000",
    b"+5",
    b"07:32:00",
    b"[1, 'a', {}]",
    b"a.b.c",
)
BYTES = b"\x00\x01\n\r\t \"'\\#=[]{},.-+_09aeE\x7f\x80\xc3\xff"


def file_number(number: int) -> bytes:
    """Return the bytes of one file: about half are whole scenarios, the rest are damaged."""
    chance = random.Random(number)
    data = dump_scenario(_extreme(chance)).encode()
    if chance.random() < 0.5:
        return data
    for _ in range(chance.choice((1, 1, 1, 2, 5, 20))):
        data = chance.choice(DAMAGES)(chance, data)[:MOST_BYTES]
    return data


def _extreme(chance: random.Random) -> Scenario:
    """Return a scenario that ships, with some of its fields set anywhere inside their bounds."""
    scenario = chance.choice(SCENARIOS)
    if chance.random() < ONE_DAY_SHARE:
        scenario = scenario.model_copy(update={"day": _one_day(scenario.day)})
    for _ in range(chance.choice((0, 1, 3, 10, 40))):
        path = _some_path(chance, scenario)
        try:
            scenario = with_value(scenario, path, _some_value(chance, path))
        except ScenarioError:
            # Two fields may contradict each other; the next change is as good.
            continue
    return scenario


def _one_day(day: Day) -> Day:
    daily = {name: getattr(day, name)[:1] for name in ("sky", "low_c", "high_c")}
    return day.model_copy(update={"days": 1, **daily})


def _some_path(chance: random.Random, scenario: Scenario) -> str:
    path = ""
    while True:
        key = chance.choice(list(known_keys(path)))
        path = f"{path}.{key}" if path else key
        kind, here = field_at(path).kind, value_at(scenario, path)
        if kind == "list" and here:
            path = f"{path}.{chance.randrange(len(here))}"
        elif kind != "part" or here is None:
            return path


def _some_value(chance: random.Random, path: str) -> object:
    facts = field_at(path)
    if facts.kind == "number":
        return chance.choice(number_values(path))
    if facts.kind in ("sky", "skies"):
        return chance.choice(("rain", "clear", 0.0, 0.4, 1.2, 9.0, "sunny"))
    if facts.kind == "numbers":
        return chance.choice(number_values(f"{path}.0"))
    if facts.kind == "whole":
        return chance.randint(int(facts.low), int(facts.high))
    if facts.kind == "choice":
        return chance.choice(facts.choices)
    if facts.kind == "flag":
        return chance.random() < 0.5
    return facts.default


def _flip(chance: random.Random, data: bytes) -> bytes:
    place = chance.randrange(len(data) + 1)
    return data[:place] + bytes([chance.choice(BYTES)]) + data[place + chance.choice((0, 1)) :]


def _cut(chance: random.Random, data: bytes) -> bytes:
    first, last = sorted(chance.randrange(len(data) + 1) for _ in range(2))
    return chance.choice((data[:first], data[last:], data[:first] + data[last:]))


def _repeat(chance: random.Random, data: bytes) -> bytes:
    first, last = sorted(chance.randrange(len(data) + 1) for _ in range(2))
    times = min(chance.choice((2, 2, 3, 50)), MOST_BYTES // (last - first + 1) + 1)
    return data[:first] + data[first:last] * times + data[last:]


def _swap_lines(chance: random.Random, data: bytes) -> bytes:
    lines = data.split(b"\n", MOST_LINES)
    chance.shuffle(lines)
    return b"\n".join(lines)


def _move_line(chance: random.Random, data: bytes) -> bytes:
    lines = data.split(b"\n", MOST_LINES)
    line = lines.pop(chance.randrange(len(lines)))
    lines.insert(chance.randrange(len(lines) + 1), line)
    return b"\n".join(lines)


def _other_value(chance: random.Random, data: bytes) -> bytes:
    lines = data.split(b"\n", MOST_LINES)
    places = [index for index, line in enumerate(lines) if b" = " in line]
    for place in chance.sample(places, min(len(places), chance.choice((1, 1, 2, 8)))):
        lines[place] = lines[place].split(b" = ")[0] + b" = " + chance.choice(VALUES)
    return b"\n".join(lines)


def _other_key(chance: random.Random, data: bytes) -> bytes:
    lines = data.split(b"\n", MOST_LINES)
    places = [index for index, line in enumerate(lines) if b" = " in line]
    if places:
        place = chance.choice(places)
        key, _, rest = lines[place].partition(b" = ")
        other = chance.choice((key + b"s", key[1:], key.upper(), key + b".x", b'""', b"'\xe2\x80'"))
        lines[place] = other + b" = " + rest
    return b"\n".join(lines)


def _splice(chance: random.Random, data: bytes) -> bytes:
    other = dump_scenario(chance.choice(SCENARIOS)).encode()
    return data[: chance.randrange(len(data) + 1)] + other[chance.randrange(len(other) + 1) :]


def _pile(chance: random.Random, data: bytes) -> bytes:
    piece = chance.choice(
        (
            b"[",
            b"{a=",
            b"a.",
            b"[[plan]]\n",
            b"[[stations]]\n",
            b"\n",
            b"#",
            b'"',
            b"'''",
            b"x=[",
            b"9",
            b"\xef\xbb\xbf",
            b"[1,2],",
            b"\\",
            b"a = 1\n",
        )
    )
    place = chance.randrange(len(data) + 1)
    return data[:place] + piece * chance.choice((3, 200, 20_000)) + data[place:]


DAMAGES: tuple[Callable[[random.Random, bytes], bytes], ...] = (
    _flip,
    _flip,
    _cut,
    _repeat,
    _swap_lines,
    _move_line,
    _other_value,
    _other_value,
    _other_key,
    _splice,
    _pile,
)
