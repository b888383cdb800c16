"""A class where the window shows US units: its runs follow, what a lesson's author typed stays."""

from __future__ import annotations

from collections.abc import Iterator

import pytest
from class_room import course_of, open_class, press, type_line
from PySide6.QtCore import Qt
from pytestqt.qtbot import QtBot

from app.classroom import ClassroomWindow
from app.classroom.course import Course
from app.classroom.handouts import handout_pages
from app.classroom.programme import Programme, programme_of_lesson
from app.classroom.units import is_metric
from app.printing.marks import Text
from app.resources import resource
from app.state.display import Display
from app.state.settings import Settings
from model.lessons.lesson import NumberAnswer
from model.lessons.lesson_file import read_lesson
from model.lessons.run import watched
from tests.plain import plain


@pytest.fixture
def display(qtbot: QtBot) -> Display:
    return Display(Settings())


@pytest.fixture
def window(qtbot: QtBot, display: Display) -> Iterator[ClassroomWindow]:
    shown = ClassroomWindow(display)
    qtbot.addWidget(shown)
    shown.show()
    yield shown
    shown.close()


def walk(qtbot: QtBot, window: ClassroomWindow, kind: str, about: str = "") -> Course:
    """Go on to the next screen of a kind whose question holds some words."""
    course = course_of(window)
    while course_of(window) is course:
        press(qtbot, Qt.Key.Key_PageDown)
        question = course.question
        if course.screen.kind == kind and about in (question.step.question if question else ""):
            return course
    raise AssertionError(f"no {kind} about {about}")


def seen(window: ClassroomWindow) -> str:
    return plain("\n".join(each.text for each in window.class_page.projected.texts))


def test_a_length_of_the_scenario_is_told_and_measured_in_feet(
    qtbot: QtBot, window: ClassroomWindow, display: Display
) -> None:
    open_class(window, "lesson thin-lead")
    about = "thinnest that will do"
    course = walk(qtbot, window, "guess", about)
    metres = course.run.scenario.stations[0].leads[0].one_way_m
    assert f"key down, {metres:.0f} m from the battery" in seen(window)
    display.set_us(True)
    # The screen in sight follows at once. 1 ft = 0.3048 m.
    assert f"key down, {metres / 0.3048:.2g} ft from the battery" in seen(window)
    walk(qtbot, window, "measure", about)
    entry = window.class_page.desk.entry
    assert "in ft;" in entry.placeholderText()
    type_line(qtbot, "20")
    assert "On the table: 20 ft" in seen(window)
    by_table = course.measured_truth()
    display.set_us(False)
    # What was read off stays what it was.
    assert "On the table: 20 ft" in seen(window)
    assert course.measured_truth() == by_table
    type_line(qtbot, "6.096 m")
    assert course.measured_truth() == by_table
    display.set_us(True)
    walk(qtbot, window, "why", about)
    assert " ft of copper of that size" in seen(window)
    assert f"{2 * metres / 0.3048:.2g} ft of wire" in seen(window)
    walk(qtbot, window, "change", about)
    press(qtbot, Qt.Key.Key_PageDown)
    prompt = plain(entry.placeholderText())
    assert ", ft: now " in prompt
    type_line(qtbot, "10")
    changed = course.changed(10 * 0.3048).run
    assert changed is not None
    assert f"Changed: {plain(watched(changed))}" in seen(window)


def test_a_table_of_results_follows_the_units(
    qtbot: QtBot, window: ClassroomWindow, display: Display
) -> None:
    open_class(window, "lesson one-box-wins")
    course = course_of(window)
    while ", kg, " not in rows_of(window):
        assert course_of(window) is course
        press(qtbot, Qt.Key.Key_PageDown)
    (row,) = (line for line in rows_of(window).splitlines() if ", kg, " in line)
    kilograms = [float(text) for text in row.split(", ")[2:]]
    display.set_us(True)
    (row,) = (line for line in rows_of(window).splitlines() if ", lb, " in line)
    pounds = [float(text) for text in row.split(", ")[2:]]
    # 1 lb is 0.45359237 kg by definition; both are rounded to as many decimals.
    assert pounds == pytest.approx([each / 0.45359237 for each in kilograms], abs=0.2)
    assert ", kg, " not in rows_of(window)


def rows_of(window: ClassroomWindow) -> str:
    return plain(window.class_page.projected.result.accessibleDescription())


@pytest.mark.parametrize(
    ("file", "index", "words", "is_held"),
    [
        ("frost", 0, "0 °C was typed", True),
        # 3.0 kg times 5 is 15.0 kg; 6.6 lb times 5 is not 33.1 lb.
        ("radio-choice", 1, "a sum in kilograms", True),
        ("one-box-wins", 1, "two masses that are filled in", False),
    ],
)
def test_what_a_question_holds_its_units_for(
    file: str, index: int, words: str, is_held: bool
) -> None:
    step = read_lesson(resource(f"scenarios/lessons/{file}.toml")).steps[index]
    assert is_metric(step) is is_held, words


def test_an_answer_that_is_asked_for_in_kilograms_stays_so() -> None:
    step = read_lesson(resource("scenarios/lessons/tonight.toml")).steps[0]
    asked = NumberAnswer(kind="number", value="stations.0.mass_kg", unit="kg")
    plain_step = step.model_copy(update={"answer": asked.model_copy(update={"unit": "Ah"})})
    assert not is_metric(plain_step)
    assert is_metric(step.model_copy(update={"answer": asked}))


def test_a_question_with_degrees_that_its_author_typed_stays_as_a_whole(
    qtbot: QtBot, window: ClassroomWindow, display: Display
) -> None:
    display.set_us(True)
    open_class(window, "lesson frost")
    walk(qtbot, window, "why")
    assert "below 0 °C" in seen(window)
    assert "the cells are at" in seen(window)
    assert "°F" not in seen(window)


@pytest.mark.usefixtures("qapp")
def test_handouts_follow_the_units() -> None:
    path = resource("scenarios/lessons/thin-lead.toml")
    programme = programme_of_lesson("thin-lead", path, read_lesson(path))
    metric, us = (printed(programme, us=us) for us in (False, True))
    assert "−20 °C" in metric
    assert "°F" not in metric
    # -20 °C is -4 °F, 0 °C freezing at 32 °F, and copper at 20 °C is at 68 °F.
    for words in ("−4 °F", "below 32 °F", "copper at 68 °F", "16 ft", "lb", " ft of copper of"):
        assert words in us, words
    assert "°C" not in us


def printed(programme: Programme, *, us: bool) -> str:
    marks = [mark for page in handout_pages(programme, us=us) for mark in page.marks]
    return plain(" ".join(mark.text for mark in marks if isinstance(mark, Text)))
