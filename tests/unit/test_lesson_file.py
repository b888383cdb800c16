"""Lesson files: faults with their lines, scenarios beside and above, the command that checks."""

from __future__ import annotations

import re
import subprocess
import sys
from pathlib import Path

import pytest

from model.editing.faults import ScenarioError
from model.lessons.lesson_check import check_lesson
from model.lessons.lesson_file import read_lesson
from tests.plain import plain

ROOT = Path(__file__).resolve().parents[2]
SOUND = """\
format = 3
title = "One question"
number = 2
scenario = "kit.toml"

[[steps]]
question = "How long?"
given = "{stations.0.battery.capacity_ah} on the label."
explanation = "It lasts {stations.0.clocks.receive.hours}."
sum = "{stations.0.full_ah} ÷ {stations.0.radio.receive_a}"
[steps.answer]
kind = "number"
value = "stations.0.clocks.receive.hours"
unit = "h"
"""
KIT = """\
format = 1
[site]
latitude_deg = 50.0
longitude_deg = 10.0
[day]
date = 2027-03-06
[[plan]]
start = "00:00"
end = "24:00"
activity = "watch"
[[stations]]
[stations.radio]
receive_a = 0.75
[stations.battery]
chemistry = "LFP"
capacity_ah = 10.0
"""


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    (tmp_path / "kit.toml").write_text(KIT, encoding="utf-8")
    return tmp_path


def faults_in(folder: Path, text: str) -> list[str]:
    file = folder / "lesson.toml"
    file.write_text(text, encoding="utf-8")
    _, faults = check_lesson(file)
    return [f"{fault.line}: {fault}" for fault in faults]


def test_a_sound_lesson_has_no_fault(folder: Path) -> None:
    assert faults_in(folder, SOUND) == []


SPOILT = (
    ('title = "One question"\n', "", "None: title: is missing"),
    ("number = 2", "number = 2000", "3: number: must be at most 999, got 2000"),
    ("number = 2", "numbr = 2", '3: numbr: is not a key here; the nearest known key is "number"'),
    ("number = 2", "minutes = 2", "3: minutes: is not a key here"),
    (
        'given = "', 'reasons = [{ text = "one" }]\ngiven = "',
        "8: steps.0.reasons: must hold none, or 2 to 4, got 1",
    ),
    (
        'given = "', 'reasons = [{ text = "one" }, { text = "two" }]\ngiven = "',
        "8: steps.0.reasons: must have right = true in one of them, got 0",
    ),
    (
        'given = "', 'parts = { guess = 2 }\ngiven = "',
        '8: steps.0.parts.guess: is not a key here; the nearest known key is "guess_min"',
    ),
    (
        'given = "', 'show = [{ result = "charge", stations = [2] }]\ngiven = "',
        "8: steps.0.show.0: there is no station 2; there are 1",
    ),
    (
        'given = "', 'glossary = ["ah"]\ngiven = "',
        '8: steps.0.glossary.0: "ah" is not explained anywhere',
    ),
    (
        'given = "', 'measure = { words = "x", path = "stations.0.name" }\ngiven = "',
        "8: steps.0.measure.path: stations.0.name is no number of the scenario",
    ),
    (
        'given = "', 'show = ["uss"]\ngiven = "',
        "8: steps.0.show.0: must be 'charge', 'sun', 'uses' or 'table', got text \"uss\"",
    ),
    (
        'kind = "number"', 'kind = "numbr"',
        "11: steps.0.answer: kind must be one of time, number, choice, order or curve,"
        ' got text "numbr"',
    ),
    (
        "[steps.answer]\n", "[steps.answer]\ndecimal = 1\n",
        '12: steps.0.answer.decimal: is not a key here; the nearest known key is "decimals"',
    ),
    (
        'clocks.receive.hours"', 'clocks.recieve.hours"',
        '11: steps.0.answer: stations.0.clocks has no "recieve"; there are full_power,'
        " reduced_power, receive",
    ),
    (
        "It lasts {", "It lasts {{",
        "9: steps.0.explanation: a number in text is written {formula} or"
        " {formula|unit|decimals}",
    ),
    (
        "{stations.0.full_ah} ÷", "{stations.0.fullah} ÷",
        '10: steps.0.sum: there is no stations.0.fullah here; the nearest known name is "full_ah"',
    ),
    (
        "How long?", "How long? {stations.0.load_ah}",
        "7: steps.0.question: stations.0.load_ah is an outcome: it would give the answer away",
    ),
    (
        'given = "', 'changes = { "stations.0.radio.receive_a" = -1 }\ngiven = "',
        "8: steps.0.changes.stations.0.radio.receive_a: must be at least 0, got -1",
    ),
    (
        'given = "', 'drops = ["stations.0.panels"]\ngiven = "',
        "8: steps.0.drops: stations.0.panels: is not there to be dropped",
    ),
    (
        "kit.toml", "kit2.toml",
        '4: scenario: there is no file "kit2.toml" beside the lesson or above',
    ),
    (
        "kit.toml", "k" * 300,
        f'4: scenario: there is no file "{"k" * 40}…" beside the lesson or above',
    ),
    (
        "kit.toml", "../kit.toml",
        "4: scenario: must be a table [scenario], or the name of a scenario file beside the lesson"
        ' or one folder above, got text "../kit.toml"',
    ),
    (
        "[steps.answer]\n", '[[steps.tries]]\nwords = "nothing"\n[steps.answer]\n',
        "11: steps.0.tries.0: changes nothing: give changes, drops or a path",
    ),
    (
        "number = 2", "number = ",
        "3: line 3, column 10: this is no value; text stands in quotes, a number uses a decimal"
        " point",
    ),
)  # fmt: skip


@pytest.mark.parametrize(("old", "new", "fault"), SPOILT)
def test_a_fault_is_named_with_its_line(folder: Path, old: str, new: str, fault: str) -> None:
    assert old in SOUND
    assert any(each.startswith(fault) for each in faults_in(folder, SOUND.replace(old, new, 1)))


def test_every_fault_is_told_at_once(folder: Path) -> None:
    spoilt = SOUND.replace("number = 2", "number = 0").replace('question = "How long?"\n', "")
    assert faults_in(folder, spoilt) == [
        "3: number: must be at least 1, got 0", "6: steps.0.question: is missing",
    ]  # fmt: skip


def test_a_scenario_may_stand_in_the_lesson(folder: Path) -> None:
    inside = re.sub(r"^(\[+)", r"\1scenario.", KIT.replace("format = 1\n", ""), flags=re.MULTILINE)
    assert faults_in(folder, SOUND.replace('scenario = "kit.toml"\n', "") + inside) == []
    empty = inside.replace("date = 2027-03-06", "date = 2027-03-06\nhigh_c = {}")
    found = faults_in(folder, SOUND.replace('scenario = "kit.toml"\n', "") + empty)
    assert found == ["19: scenario.day.high_c: must be a number, got a table"]
    worse = inside.replace("capacity_ah = 10.0", "capacity_ah = -10.0")
    found = faults_in(folder, SOUND.replace('scenario = "kit.toml"\n', "") + worse)
    assert found == ["28: scenario.stations.0.battery.capacity_ah: must be greater than 0, got -10"]


def test_a_scenario_file_may_lie_one_folder_above(folder: Path) -> None:
    below = folder / "lessons"
    below.mkdir()
    assert faults_in(below, SOUND) == []


def test_a_faulty_scenario_file_is_told_at_the_line_that_names_it(folder: Path) -> None:
    (folder / "kit.toml").write_text(KIT.replace("10.0\n[day]", "1000.0\n[day]"), encoding="utf-8")
    assert faults_in(folder, SOUND) == [
        "4: scenario: kit.toml: site.longitude_deg: must be at most 180, got 1000"
    ]


def test_a_station_that_cannot_run_is_a_fault(folder: Path) -> None:
    block = """[[steps]]
changes = { "plan.0.activity" = "slots", "plan.0.rf_w" = 5, "plan.0.transmit_share" = 0.9 }
"""
    found = faults_in(folder, SOUND.replace("[[steps]]\n", block))
    assert any("station 1 cannot be run" in fault for fault in found)


def test_choices_that_fit_nothing_or_tie_are_faults(folder: Path) -> None:
    choice = """
kind = "choice"
right = "{rule}"
value = "stations.0.full_ah"
choices = [{{ text = "little", high = 1 }}, {{ text = "less", high = 0.5 }}]
"""
    head = SOUND[: SOUND.index('kind = "number"')]
    found = faults_in(folder, head + choice.format(rule="within"))
    assert found == [
        "11: steps.0.answer: no choice is right: none has the value within its low and high"
    ]
    found = faults_in(folder, head + choice.format(rule="largest"))
    assert found == ["11: steps.0.answer: two of them come to the same value: none is first"]


def test_reading_refuses_what_the_check_finds_in_the_text(folder: Path) -> None:
    file = folder / "lesson.toml"
    file.write_text(SOUND.replace('title = "One question"\n', ""), encoding="utf-8")
    with pytest.raises(ScenarioError, match="title: is missing"):
        read_lesson(file)


def test_a_lesson_of_format_2_is_read_with_what_it_showed(folder: Path) -> None:
    older = SOUND.replace("format = 3", "format = 2\nminutes = 5")
    file = folder / "lesson.toml"
    for hidden, results in (("", ["charge"]), ('hidden = ["uses", "table"]\n', ["uses", "table"])):
        file.write_text(older.replace("explanation", f"{hidden}explanation"), encoding="utf-8")
        lesson = read_lesson(file)
        assert [shown.result for shown in lesson.steps[0].show] == results
        assert lesson.minutes == 6


def run_check(file: Path) -> subprocess.CompletedProcess[str]:
    return subprocess.run(
        [sys.executable, "-m", "app", "lesson", "check", str(file)],
        cwd=ROOT, capture_output=True, text=True, check=False,
    )  # fmt: skip


def test_the_command_says_ok_or_each_fault_with_its_line(folder: Path) -> None:
    file = folder / "lesson.toml"
    file.write_text(SOUND, encoding="utf-8")
    done = run_check(file)
    assert (done.returncode, plain(done.stdout)) == (0, "One question: 1 step, 6 min, no fault\n")
    file.write_text(SOUND.replace("number = 2", "number = 0"), encoding="utf-8")
    done = run_check(file)
    assert (done.returncode, done.stdout) == (2, "")
    assert done.stderr == "line 3: number: must be at least 1, got 0\n"


def test_the_command_says_that_a_file_is_missing(folder: Path) -> None:
    done = run_check(folder / "none.toml")
    assert done.returncode == 2
    assert done.stderr.splitlines() == ["none.toml: there is no such file or folder"]


def test_checking_a_lesson_imports_no_qt(folder: Path) -> None:
    (folder / "lesson.toml").write_text(SOUND, encoding="utf-8")
    program = (
        "import sys\nfrom app.__main__ import main\n"
        f"assert main(['lesson', 'check', {str(folder / 'lesson.toml')!r}]) == 0\n"
        "assert not {'PySide6', 'pyqtgraph'} & set(sys.modules)\n"
    )
    done = subprocess.run(
        [sys.executable, "-c", program], cwd=ROOT, capture_output=True, text=True, check=False
    )
    assert done.returncode == 0, done.stderr
