"""What an instructor sees and types: times as planned, units asked for, nothing that is cut."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import pairwise

import pytest
from class_room import course_of, faults_of_looks, open_class, press, type_line
from PySide6.QtCore import Qt
from PySide6.QtWidgets import QApplication
from pytestqt.qtbot import QtBot

from app.classroom import ClassroomWindow
from app.classroom.drawn import DAY
from app.classroom.lessons import class_day
from app.state.display import Display
from app.state.settings import Settings
from model.lessons.timing import planned_min


@pytest.fixture
def window(qtbot: QtBot) -> Iterator[ClassroomWindow]:
    shown = ClassroomWindow(Display(Settings()))
    qtbot.addWidget(shown)
    shown.show()
    yield shown
    shown.close()


def go_to(qtbot: QtBot, window: ClassroomWindow, kind: str) -> None:
    while course_of(window).screen.kind != kind:
        press(qtbot, Qt.Key.Key_PageDown)


def test_the_clock_plans_the_minutes_that_the_check_and_the_list_name(
    window: ClassroomWindow,
) -> None:
    for listed in window.listed:
        programme = listed.programme
        on_clock_min = sum(part.planned_s for part in programme.parts) / 60
        plan = programme.plan
        lesson = programme.lessons[0].lesson
        wanted_min = planned_min(plan) if plan else sum(s.planned.total_min for s in lesson.steps)
        assert on_clock_min == pytest.approx(wanted_min), programme.title


def test_a_reading_is_asked_for_in_its_unit(qtbot: QtBot, window: ClassroomWindow) -> None:
    open_class(window, "lesson clamp")
    go_to(qtbot, window, "measure")
    # Volts over amperes are ohms: 0.08 would be read as 0.08 mΩ.
    assert "in mΩ;" in window.class_page.desk.entry.placeholderText()


def test_only_the_refused_guess_of_a_line_is_selected(
    qtbot: QtBot, window: ClassroomWindow
) -> None:
    course = open_class(window, "lesson tonight")
    go_to(qtbot, window, "guess")
    type_line(qtbot, "2300 7am 23 2am")
    assert window.class_page.desk.entry.selectedText() == "23"
    type_line(qtbot, "never")
    assert course.said.count(1) == 4
    assert window.class_page.desk.entry.text() == ""


@pytest.mark.parametrize("height", [690, 701, 720])
def test_a_drawing_gives_way_where_the_words_would_not_fit_beside_it(
    qtbot: QtBot, window: ClassroomWindow, height: int
) -> None:
    # A title bar takes its share of a screen of 720 lines.
    window.resize(1280, height)
    open_class(window, "lesson switch-off-first")
    go_to(qtbot, window, "guess")
    QApplication.processEvents()
    window.grab()
    assert list(faults_of_looks(window)) == []
    page = window.class_page.projected
    shown = [each.geometry() for each in page.texts if each.isVisible() and each.text]
    for above, below in pairwise(shown):
        assert above.bottom() < below.top()


def test_the_drawn_day_is_the_day_of_the_lessons() -> None:
    kinds = {"voice": "net", "slots": "data"}

    def hour(text: str) -> float:
        return int(text[:2]) + int(text[3:]) / 60

    blocks = [
        (hour(str(block.start)), hour(str(block.end)), kinds[block.activity])
        for block in class_day().plan
        if block.activity in kinds
    ]
    assert [each[2] for each in DAY] == [each[2] for each in blocks]
    for drawn, planned in zip(DAY, blocks, strict=True):
        assert drawn[:2] == pytest.approx(planned[:2])


def test_no_caution_stands_twice_before_a_lesson(window: ClassroomWindow) -> None:
    for listed in window.listed:
        window.start(listed)
        page = window.class_page.projected
        said = "\n".join(each.text for each in page.texts if each.text).split("\n")
        cautions = [line for line in said if line.startswith("⚠")]
        assert cautions
        assert len(set(cautions)) == len(cautions), listed.programme.title
