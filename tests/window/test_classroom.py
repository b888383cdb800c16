"""The class window, tried as an instructor would: keys only, from the list to the end."""

from __future__ import annotations

import errno
import os
import subprocess
import sys
from collections.abc import Iterator
from pathlib import Path

import pytest
from PySide6.QtCore import QPointF, Qt
from PySide6.QtGui import QAccessible
from PySide6.QtWidgets import QApplication, QLabel, QLineEdit, QPushButton, QWidget
from pytestqt.qtbot import QtBot

from app.classroom import ClassroomWindow, open_classroom
from app.classroom.big_text import BigText
from app.classroom.class_lesson import ClassLesson, Stage, stages_of
from app.classroom.guess_store import GuessStore, Kept
from model.files.journal import JournalFile, read_journal
from model.lessons.run import reveal

ROOT = Path(__file__).resolve().parents[2]
SIZES = [(1280, 720), (1920, 1080)]
TYPED = {"number": ("3", "7.5", "12"), "time": ("02:40", "2200", "never"), "choice": ("A", "b")}
from tests.plain import plain


@pytest.fixture
def window(qtbot: QtBot) -> Iterator[ClassroomWindow]:
    shown = open_classroom()
    qtbot.addWidget(shown)
    yield shown
    shown.close()


def press(qtbot: QtBot, key: Qt.Key) -> None:
    qtbot.keyClick(QApplication.focusWidget(), key)


def type_line(qtbot: QtBot, text: str) -> None:
    qtbot.keyClicks(QApplication.focusWidget(), text)
    press(qtbot, Qt.Key.Key_Return)


def open_lesson(window: ClassroomWindow, title: str) -> ClassLesson:
    index = [listed.lesson.title for listed in window.lessons].index(title)
    window.open_listed(index)
    course = window.lesson_page.course
    assert course is not None
    return course


def everything_said(window: ClassroomWindow) -> str:
    """Return whatever a person or a screen reader could find in the window, hidden or not."""
    said = [window.windowTitle()]
    for widget in [window, *window.findChildren(QWidget)]:
        said += [widget.accessibleName(), widget.accessibleDescription(), widget.toolTip(),
                 widget.statusTip(), widget.whatsThis(), widget.windowTitle()]  # fmt: skip
        for kind in (QLabel, QPushButton, QLineEdit):
            if isinstance(widget, kind):
                said.append(widget.text())
        if isinstance(widget, BigText):
            said.append(widget.text)
        interface = QAccessible.queryAccessibleInterface(widget)
        if interface is not None:
            said += [interface.text(kind) for kind in QAccessible.Text if kind.value < 5]
    return "\n".join(said)


def clipped_in(window: ClassroomWindow) -> list[str]:
    found = [
        text.text for text in window.findChildren(BigText) if text.isVisible() and text.is_clipped
    ]
    for widget in window.findChildren(QWidget):
        if isinstance(widget, QPushButton | QLabel) and widget.isVisible():
            needed = widget.sizeHint()
            if isinstance(widget, QLabel) and widget.wordWrap():
                if widget.heightForWidth(widget.width()) > widget.height():
                    found.append(widget.text())
            elif needed.width() > widget.width() or needed.height() > widget.height():
                found.append(widget.text())
    return found


def answer(qtbot: QtBot, window: ClassroomWindow, course: ClassLesson) -> None:
    """Answer a question by keyboard, whatever its kind."""
    kind = course.step.answer.kind
    if kind == "curve":
        for key in (Qt.Key.Key_Right, Qt.Key.Key_Up, Qt.Key.Key_Right, Qt.Key.Key_Down):
            press(qtbot, key)
        return
    if kind == "order":
        count = len(course.step.answer.items)
        type_line(qtbot, "ABCDEFGH"[:count])
        type_line(qtbot, "ABCDEFGH"[:count][::-1])
        return
    for text in TYPED[kind]:
        type_line(qtbot, text)


@pytest.mark.parametrize("size", SIZES)
def test_every_lesson_goes_from_start_to_end_by_keys_and_nothing_is_clipped(
    qtbot: QtBot, window: ClassroomWindow, size: tuple[int, int]
) -> None:
    window.resize(*size)
    QApplication.processEvents()
    assert clipped_in(window) == []
    for row, listed in enumerate(window.lessons):
        window.list_page.list.setCurrentRow(row)
        press(qtbot, Qt.Key.Key_PageDown)
        course = window.lesson_page.course
        assert course is not None
        assert course.lesson == listed.lesson
        seen = []
        while window.pages.currentWidget() is window.lesson_page:
            stage = course.stage
            seen.append(stage)
            if stage.kind == "question":
                answer(qtbot, window, course)
            elif stage.kind == "change":
                press(qtbot, Qt.Key.Key_1)
            QApplication.processEvents()
            assert clipped_in(window) == [], (listed.path.stem, stage)
            press(qtbot, Qt.Key.Key_PageDown)
        assert tuple(seen) == stages_of(listed.lesson)


def test_nothing_says_the_answer_before_the_reveal(qtbot: QtBot, window: ClassroomWindow) -> None:
    for listed in window.lessons:
        course = open_lesson(window, listed.lesson.title)
        for index in range(len(listed.lesson.steps)):
            shown = reveal(listed.lesson, index)
            secrets = [shown.explanation, shown.sum]
            if listed.lesson.steps[index].answer.kind == "time":
                secrets.append(shown.truth.words)
            while course.stage.step < index or course.stage.kind not in ("reveal", "end"):
                said = everything_said(window)
                if course.stage.step == index:
                    assert not [secret for secret in secrets if secret.strip() in said]
                    assert "and the run" not in said
                    with pytest.raises(RuntimeError):
                        _ = course.reveal
                window.lesson_page.go_on()
                if course.stage.kind == "question" and not course.guesses:
                    window.lesson_page.go_on()
            assert course.stage == Stage("reveal", index)
            assert shown.truth.words in everything_said(window)


def test_going_back_hides_the_answer_again(qtbot: QtBot, window: ClassroomWindow) -> None:
    course = open_lesson(window, "Listening only, tonight")
    press(qtbot, Qt.Key.Key_PageDown)
    type_line(qtbot, "02:00")
    for _ in range(2):
        press(qtbot, Qt.Key.Key_PageDown)
    words = course.reveal.truth.words
    assert words in everything_said(window)
    press(qtbot, Qt.Key.Key_PageUp)
    press(qtbot, Qt.Key.Key_PageUp)
    assert course.stage.kind == "question"
    assert words not in everything_said(window)
    assert not window.lesson_page.entry.isVisible()


def test_guesses_typed_in_a_row_are_counted_and_spread(
    qtbot: QtBot, window: ClassroomWindow
) -> None:
    course = open_lesson(window, "Listening only, tonight")
    press(qtbot, Qt.Key.Key_PageDown)
    for text in ("22:00", "0200", "06:00", "soon"):
        type_line(qtbot, text)
    page = window.lesson_page
    assert len(course.guesses) == 3
    assert "write a time" in page.note.text.casefold()
    page.entry.clear()
    press(qtbot, Qt.Key.Key_Backspace)
    assert len(course.guesses) == 2
    qtbot.keyClicks(page.entry, "06:00")
    press(qtbot, Qt.Key.Key_PageDown)
    assert len(course.guesses) == 3, "what stands typed is taken when the page is turned"
    assert page.foot.text == "3 guesses: median 02:00, from 22:00 to 06:00"


def test_without_guesses_the_page_turns_only_at_the_second_key(
    qtbot: QtBot, window: ClassroomWindow
) -> None:
    course = open_lesson(window, "Listening only, tonight")
    press(qtbot, Qt.Key.Key_PageDown)
    press(qtbot, Qt.Key.Key_PageDown)
    assert course.stage.kind == "question"
    press(qtbot, Qt.Key.Key_PageDown)
    assert course.stage.kind == "guesses"


def test_a_curve_is_drawn_with_the_mouse_and_scored(qtbot: QtBot, window: ClassroomWindow) -> None:
    course = open_lesson(window, "Flat in December")
    press(qtbot, Qt.Key.Key_PageDown)
    QApplication.processEvents()
    pad = window.lesson_page.pad
    across, down = pad.width(), pad.height()
    points = [QPointF(across * share, down * 0.7).toPoint() for share in (0.2, 0.5, 0.9)]
    qtbot.mousePress(pad, Qt.MouseButton.LeftButton, pos=points[0])
    for point in points[1:]:
        qtbot.mouseMove(pad, point)
    qtbot.mouseRelease(pad, Qt.MouseButton.LeftButton, pos=points[-1])
    assert len(course.curve) == 49
    assert 0 < course.curve[24] < 1
    press(qtbot, Qt.Key.Key_PageDown)
    assert course.stage.kind == "reveal"
    assert "In daylight the drawn peak is" in window.lesson_page.foot.text


def test_one_thing_is_changed_live_and_a_number_may_be_typed(
    qtbot: QtBot, window: ClassroomWindow
) -> None:
    course = open_lesson(window, "Listening only, tonight")
    while course.stage.kind != "change":
        press(qtbot, Qt.Key.Key_PageDown)
    listed = window.lesson_page.listed
    press(qtbot, Qt.Key.Key_1)
    assert "As it is: Receive until Sun 06:57, 11.9\xa0h" in listed.text
    # 8.95 Ah over 0.24 A instead of 0.75 A.
    assert "Changed: Receive until Mon 08:19, 37.3\xa0h" in listed.text
    press(qtbot, Qt.Key.Key_3)
    type_line(qtbot, "0,5")
    # 9 Ah over 0.5 A are 18 h, less what is left at the cut-off.
    assert listed.text.endswith("17.9\xa0h")
    press(qtbot, Qt.Key.Key_3)
    type_line(qtbot, "-1")
    assert "at least 0" in window.lesson_page.note.text


def test_a_dark_screen_covers_the_page_and_any_key_ends_it(
    qtbot: QtBot, window: ClassroomWindow
) -> None:
    course = open_lesson(window, "Listening only, tonight")
    press(qtbot, Qt.Key.Key_PageDown)
    for key in (Qt.Key.Key_B, Qt.Key.Key_Period):
        press(qtbot, key)
        dark = window.grab().toImage().pixelColor(window.width() // 2, window.height() // 2)
        assert dark.lightness() == 0
        press(qtbot, Qt.Key.Key_PageDown)
        assert course.stage.kind == "question"
        light = window.grab().toImage().pixelColor(window.width() - 20, window.height() // 2)
        assert light.lightness() > 0
    assert course.guesses == []


def test_the_list_says_titles_and_minutes_and_escape_leads_back(
    qtbot: QtBot, window: ClassroomWindow
) -> None:
    first = window.list_page.list.item(0).text()
    assert plain(first) == "Listening only, tonight · 8 min"
    press(qtbot, Qt.Key.Key_Return)
    assert window.pages.currentWidget() is window.lesson_page
    press(qtbot, Qt.Key.Key_Escape)
    assert window.pages.currentWidget() is window.list_page


def test_a_clicker_goes_from_one_lesson_into_the_next(
    qtbot: QtBot, window: ClassroomWindow
) -> None:
    press(qtbot, Qt.Key.Key_PageDown)
    course = window.lesson_page.course
    assert course is not None
    while window.pages.currentWidget() is window.lesson_page:
        press(qtbot, Qt.Key.Key_PageDown)
    press(qtbot, Qt.Key.Key_PageDown)
    following = window.lesson_page.course
    assert following is not None
    assert following.lesson == window.lessons[1].lesson
    assert following.lesson != course.lesson


def test_the_window_fills_the_screen_from_any_page(qtbot: QtBot, window: ClassroomWindow) -> None:
    open_lesson(window, "Listening only, tonight")
    press(qtbot, Qt.Key.Key_PageDown)
    assert QApplication.focusWidget() is window.lesson_page.entry
    press(qtbot, Qt.Key.Key_F11)
    assert window.isFullScreen()
    press(qtbot, Qt.Key.Key_F5)
    assert not window.isFullScreen()


CRASH = """
import os, sys
from pathlib import Path
os.environ["QT_QPA_PLATFORM"] = "offscreen"
from app.classroom.class_lesson import ClassLesson
from app.classroom.guess_store import GuessStore
from app.classroom.lessons import lessons_in, shipped_folder
listed = lessons_in(shipped_folder())[0][0]
course = ClassLesson(listed.lesson, listed.path, GuessStore(Path(sys.argv[1])))
course.go(1)
for text in ("22:00", "02:40", "never"):
    course.add_guess(text)
os.kill(os.getpid(), 9)
"""


def test_guesses_survive_a_crash(qtbot: QtBot, tmp_path: Path) -> None:
    file = tmp_path / "classes"
    done = subprocess.run([sys.executable, "-c", CRASH, str(file)], cwd=ROOT, check=False)
    assert done.returncode == -9
    window = ClassroomWindow(store=GuessStore(file))
    qtbot.addWidget(window)
    window.show()
    assert window.list_page.resume.isVisible()
    assert "3 guesses kept" in window.list_page.resume.text()
    window.list_page.resume.click()
    course = window.lesson_page.course
    assert course is not None
    assert course.stage == Stage("question", 0)
    assert len(course.guesses) == 3
    window.close()


@pytest.mark.parametrize(
    "entry",
    [
        None, 7, [], {"lesson": 1}, {"deed": "guess"}, {"deed": "step", "step": "z", "what": None},
        {"deed": "curve", "step": 0, "what": ["x"]}, {"deed": "curve", "step": 0, "what": 7},
    ],
    ids=repr,
)  # fmt: skip
def test_a_damaged_record_counts_as_none(tmp_path: Path, entry: object) -> None:
    path = tmp_path / "000001.jsonl"
    JournalFile(path).append(entry)
    assert GuessStore(tmp_path).load() is None
    path.write_bytes(b"\0" * 400)
    assert GuessStore(tmp_path).load() is None


def test_a_record_holds_each_deed_and_no_answer(tmp_path: Path) -> None:
    store = GuessStore(tmp_path / "state")
    assert store.begin("a.toml", "A") == ""
    for deed, step, what in (
        ("guess", 0, "5"), ("guess", 0, "6"), ("taken back", 0, None), ("curve", 1, [0.5, 7]),
        ("step", 1, None),
    ):  # fmt: skip
        assert store.add(deed, step, what) == ""
    assert GuessStore(store.folder).load() == Kept("a.toml", "A", 1, {0: ["5"]}, {1: [0.5, 1.0]})
    (path,) = store.folder.iterdir()
    head, *deeds = read_journal(path).entries
    assert set(head) == {"lesson", "title", "begun"}
    assert len(deeds) == 5
    # A half line, as a kill leaves it, takes no other with it.
    path.write_bytes(path.read_bytes()[:-9])
    assert GuessStore(store.folder).load() == Kept("a.toml", "A", 0, {0: ["5"]}, {1: [0.5, 1.0]})


def test_every_class_has_a_record_of_its_own_and_keeps_it(tmp_path: Path) -> None:
    store = GuessStore(tmp_path)
    for lesson in "abc":
        assert store.begin(lesson, lesson) == ""
        assert store.add("guess", 0, lesson) == ""
    assert store.end() == ""
    assert store.load() is None
    assert sorted(path.name for path in tmp_path.iterdir()) == [
        "000001.jsonl", "000002.jsonl", "000003.jsonl",
    ]  # fmt: skip


def test_what_a_full_disk_refused_is_written_with_the_next_guess(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    store = GuessStore(tmp_path)
    store.begin("a", "A")

    def full(*_: object) -> None:
        raise OSError(errno.ENOSPC, "No space left on device")

    with monkeypatch.context() as refusing:
        refusing.setattr(os, "fsync", full)
        said = store.add("guess", 0, "1")
        assert said == "The guesses could not be saved: 000001.jsonl: the disk is full"
    assert store.add("guess", 0, "2") == ""
    assert GuessStore(tmp_path).load() == Kept("a", "A", 0, {0: ["1", "2"]})


def test_a_store_that_cannot_be_written_says_so(tmp_path: Path) -> None:
    blocked = tmp_path / "file"
    blocked.write_text("", encoding="utf-8")
    said = GuessStore(blocked / "classes").begin("a.toml", "A")
    assert said.startswith("The guesses could not be saved")


def test_the_end_of_a_lesson_forgets_its_guesses(qtbot: QtBot, window: ClassroomWindow) -> None:
    course = open_lesson(window, "Listening only, tonight")
    press(qtbot, Qt.Key.Key_PageDown)
    type_line(qtbot, "02:00")
    assert window.store.load() is not None
    while course.stage.kind != "end":
        press(qtbot, Qt.Key.Key_PageDown)
    assert window.store.load() is None


def test_my_kit_answers_as_it_is_typed(qtbot: QtBot, window: ClassroomWindow) -> None:
    window.list_page.my_kit.click()
    page = window.kit_page
    for name, text in (("receive_a", "0,9"), ("send_share", "0"), ("listen_h", "24")):
        page.lines[name].selectAll()
        qtbot.keyClicks(page.lines[name], text)
    assert page.result.text == "15\xa0h"
    assert "13.5\xa0Ah ÷ 21.6\xa0Ah × 24\xa0h = 15\xa0h" in page.sum.text
    assert clipped_in(window) == []
    page.lines["receive_a"].selectAll()
    qtbot.keyClicks(page.lines["receive_a"], "x")
    assert page.result.text == "–"
    assert "Current on receive" in page.note.text
    press(qtbot, Qt.Key.Key_Escape)
    assert window.pages.currentWidget() is window.list_page


def test_a_lesson_file_with_faults_is_told_with_its_lines(
    window: ClassroomWindow, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    told: list[str] = []
    monkeypatch.setattr(
        "app.widgets.dialogs.tell_faults", lambda parent, title, faults: told.extend(faults)
    )
    file = tmp_path / "broken.toml"
    file.write_text("format = 3\nnumber = 0\n", encoding="utf-8")
    window.open_path(file)
    assert "line 2: number: must be at least 1, got 0" in told
    assert window.pages.currentWidget() is window.list_page


def test_handouts_are_written_from_the_list(
    window: ClassroomWindow, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    target = tmp_path / "class.pdf"
    monkeypatch.setattr("app.widgets.dialogs.ask_for_page_to_write", lambda parent, name: target)
    window.list_page.handouts.click()
    assert target.read_bytes().startswith(b"%PDF")
    assert "class.pdf" in window.list_page.note.text


def test_the_window_is_freed_when_it_is_closed(qtbot: QtBot) -> None:
    window = open_classroom()
    open_lesson(window, "The beacon")
    window.close()
    window.deleteLater()
    with qtbot.waitSignal(window.destroyed):
        pass
