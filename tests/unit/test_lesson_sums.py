"""Sums that a class is shown can be redone from the digits that stand there."""

from __future__ import annotations

import math
import re
from collections.abc import Iterator
from pathlib import Path

import pytest

from model.lessons.lesson_file import read_lesson
from model.lessons.playlist_file import read_questions
from model.lessons.run import StepRun, edited, step_run
from model.lessons.text import formulas_in

FOLDER = Path(__file__).resolve().parents[2] / "scenarios" / "lessons"
FILES = sorted(
    path for path in FOLDER.glob("*.toml") if "[[steps]]" in path.read_text(encoding="utf-8")
)
# A number with the unit that may change its size: per cent, and thousandths.
NUMBER = re.compile(r"(\d+(?:\.\d+)?)[ \xa0]?(%|mΩ|mAh|mA|mV)?")
TOKEN = re.compile(rf"{NUMBER.pattern}|(log10)|([-−+×÷√()])")
SIGNS = {"−": "-", "×": "*", "÷": "/"}


def size_of(unit: str) -> float:
    return 0.01 if unit == "%" else 0.001 if unit else 1.0


def value_of(side: str) -> float:
    """Return a written sum, its words and units left out; a label ends with a colon."""
    text = side.rsplit(": ", 1)[-1]
    found: list[str] = []
    for token in TOKEN.finditer(text):
        if token[1]:
            found.append(repr(float(token[1]) * size_of(token[2] or "")))
            if len(found) > 1 and found[-2] == "√":
                found[-2:] = [f"math.sqrt({found[-1]})"]
        else:
            found.append("math.log10" if token[3] else SIGNS.get(token[4], token[4]))
    return float(eval(" ".join(found), {"math": math, "__builtins__": {}}))


def is_so(line: str) -> bool:
    """Whether both sides of a line come to the same, to the digits shown on the right."""
    left, _, right = line.partition(" = ")
    shown = NUMBER.search(right)
    assert shown is not None, line
    size, decimals = size_of(shown[2] or ""), len(shown[1].partition(".")[2])
    # Half of the last digit may be rounded either way.
    off = abs(value_of(left) / size - float(shown[1]))
    return off <= 0.5 * 10**-decimals + 1e-9


def sums() -> Iterator[tuple[str, str]]:
    for file in FILES:
        lesson = read_lesson(file)
        for index, step in enumerate(lesson.steps):
            run = step_run(lesson, index)
            yield from ((file.stem, line) for line in run.text(step.sum).splitlines())
    questions = read_questions(FOLDER / "playlists" / "questions.toml")
    for each in questions.questions:
        run = StepRun(each.step, edited(questions.scenario, each.changes, each.drops), None)
        yield from ((each.id, line) for line in run.text(each.sum).splitlines())


def test_every_sum_comes_out_from_the_digits_shown() -> None:
    with_result = [(name, line) for name, line in sums() if " = " in line]
    assert [(name, line) for name, line in with_result if not is_so(line)] == []
    assert len(with_result) > 40


@pytest.mark.parametrize(
    ("line", "so"),
    [
        ("Receive: 23.3 h × 0.90 A = 21.0 Ah", True),
        ("Receive: 23.3 h × 0.90 A = 21.1 Ah", False),
        ("3.0 A + 1.80 × √50 = 15.7 A", True),
        ("10 × log10(100 ÷ 5) = 13.0 dB", True),
        ("23 W ÷ 71 W = 33 %", False),
        ("20.5 A × 19.7 mΩ = 0.40 V", True),
        ("100 % − 0.4 % × 19.5 = 92.2 %", True),
    ],
)
def test_a_sum_that_does_not_come_out_is_found(line: str, so: bool) -> None:
    assert is_so(line) is so


def test_no_hours_of_a_sum_are_divided_back() -> None:
    # Hours that were an amount over a current would come out whatever the run does.
    for file in FILES:
        for step in read_lesson(file).steps:
            for found in re.finditer(r"\{([^{}|]+)\|h(?:\|\d)?\}", step.sum + step.explanation):
                assert "/" not in found[1], (file.stem, found[0])
            assert list(formulas_in(step.sum)), file.stem
