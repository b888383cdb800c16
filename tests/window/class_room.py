"""A room of people in a class, and what they find in its window; used by the tests of the class."""

from __future__ import annotations

from collections.abc import Iterator

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QAbstractButton, QApplication, QLabel, QLineEdit, QWidget
from pytestqt.qtbot import QtBot

from app.classroom import ClassroomWindow
from app.classroom.big_text import BigText
from app.classroom.course import Course
from app.classroom.picture import Picture

PEOPLE = 12
TIMES = ("02:40", "22:00", "7am", "never", "06:30", "9pm", "0100", "23:15", "5am", "20:00", "03:00",
         "08:10")  # fmt: skip
NUMBERS = ("3", "7.5", "12", "20", "9", "30", "11", "15", "8", "25", "40", "10")
LETTERS = "ABCDEFGH"


class Clock:
    """A clock that the room sets."""

    def __init__(self) -> None:
        self.at_s = 0.0

    def __call__(self) -> float:
        return self.at_s


def press(qtbot: QtBot, key: Qt.Key) -> None:
    qtbot.keyClick(QApplication.focusWidget(), key)


def type_line(qtbot: QtBot, text: str) -> None:
    qtbot.keyClicks(QApplication.focusWidget(), text)
    press(qtbot, Qt.Key.Key_Return)


def course_of(window: ClassroomWindow) -> Course:
    course = window.class_page.course
    assert course is not None
    return course


def open_class(window: ClassroomWindow, key: str) -> Course:
    keys = [listed.programme.key for listed in window.listed]
    window.open_listed(keys.index(key))
    return course_of(window)


def lines_of(course: Course) -> list[str]:
    """Return what twelve people type for a question."""
    answer = course.asked.step.answer
    if answer.kind == "order":
        letters = LETTERS[: len(answer.items)]
        return [letters, letters[::-1]] * (PEOPLE // 2)
    return list(TIMES if answer.kind == "time" else NUMBERS)


def answer(qtbot: QtBot, window: ClassroomWindow) -> None:
    """Answer a screen, whatever it asks, by keyboard alone."""
    course, page = course_of(window), window.class_page
    kind = course.asked.step.answer.kind if course.question else ""
    if course.screen.kind == "reason" or (course.round and kind == "choice"):
        for field, hands in zip(page.desk.counts.fields[:2], ("7", "5"), strict=True):
            field.selectAll()
            qtbot.keyClicks(field, hands)
    elif course.screen.kind == "measure":
        type_line(qtbot, "1")
    elif course.round and kind == "curve":
        for key in (Qt.Key.Key_Right, Qt.Key.Key_Up, Qt.Key.Key_Right, Qt.Key.Key_Down):
            press(qtbot, key)
    elif course.round:
        page.desk.entry.setText("; ".join(lines_of(course)))
        press(qtbot, Qt.Key.Key_Return)


def faults_of_looks(window: ClassroomWindow) -> Iterator[str]:
    """Yield each text that is cut or stands on another, on either side."""
    top = window.class_page.projected.window()
    for widget in {*window.findChildren(QWidget), *top.findChildren(QWidget)}:
        if not widget.isVisible():
            continue
        if isinstance(widget, BigText) and widget.is_clipped:
            yield f"cut: {widget.text[:60]}"
        elif isinstance(widget, Picture):
            yield from (f"cut in {type(widget).__name__}: {text}" for text in widget.lost)
            yield from _overlaps(widget)
        elif isinstance(widget, QAbstractButton | QLabel):
            needed_px = widget.fontMetrics().horizontalAdvance(widget.text().replace("&", ""))
            wraps = isinstance(widget, QLabel) and widget.wordWrap()
            if not wraps and needed_px > widget.width():
                yield f"cut: {widget.text()[:60]}"


def _overlaps(picture: Picture) -> Iterator[str]:
    for place, (first, words) in enumerate(picture.written):
        for second, others in picture.written[:place]:
            shared = first.intersected(second)
            if shared.width() > 2 and shared.height() > 2:
                yield f"{words} stands on {others}"


def everything_said(window: ClassroomWindow) -> str:
    """Return whatever a person or a screen reader could find in both windows, hidden or not."""
    said = []
    top = window.class_page.projected.window()
    for widget in {window, top, *window.findChildren(QWidget), *top.findChildren(QWidget)}:
        said += [widget.accessibleName(), widget.accessibleDescription(), widget.toolTip(),
                 widget.statusTip(), widget.whatsThis(), widget.windowTitle()]  # fmt: skip
        if isinstance(widget, QLabel | QAbstractButton | QLineEdit):
            said.append(widget.text())
        if isinstance(widget, BigText):
            said.append(widget.text)
        if isinstance(widget, Picture):
            widget.grab()
            said += [words for _, words in widget.written]
    return "\n".join(said)
