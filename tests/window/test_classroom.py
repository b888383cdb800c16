"""The class window, tried as an instructor would: keys only, from the list to the end."""

from __future__ import annotations

import os
import subprocess
import sys
from collections.abc import Iterator
from pathlib import Path

import pytest
from class_room import (
    PEOPLE,
    Clock,
    answer,
    course_of,
    everything_said,
    faults_of_looks,
    lines_of,
    open_class,
    press,
    type_line,
)
from PySide6.QtCore import QLocale, QPointF, Qt
from PySide6.QtWidgets import QApplication
from pytestqt.qtbot import QtBot

from app.classroom import ClassroomWindow
from app.classroom.count_row import CountRow
from app.classroom.course import Course
from app.classroom.programme import OPEN
from app.classroom.record import ClassRecords
from app.classroom.window import ELSEWHERE
from app.state.display import Display
from app.state.settings import Settings
from model.lessons.playlist_file import read_class_plan
from model.lessons.run import truth_of
from model.lessons.timing import Room
from tests.plain import plain

ROOT = Path(__file__).resolve().parents[2]
SIZES = [(1280, 720), (1920, 1080)]
CLASS = "playlist 75-minutes"
# Reading a screen that is planned only as part of a longer stretch. [s]
READING_S = 10.0


@pytest.fixture
def clock() -> Clock:
    return Clock()


@pytest.fixture
def window(qtbot: QtBot, clock: Clock) -> Iterator[ClassroomWindow]:
    shown = ClassroomWindow(Display(Settings()), now_s=clock)
    qtbot.addWidget(shown)
    shown.show()
    yield shown
    shown.close()


def turn(qtbot: QtBot, window: ClassroomWindow) -> None:
    """Go to the next screen by the clicker's key, also where nobody has guessed."""
    course = course_of(window)
    before = course.place
    press(qtbot, Qt.Key.Key_PageDown)
    if course.place == before and window.class_page.course is course:
        press(qtbot, Qt.Key.Key_PageDown)


def go_to(qtbot: QtBot, window: ClassroomWindow, kind: str) -> Course:
    course = course_of(window)
    while course.screen.kind != kind:
        turn(qtbot, window)
    return course


@pytest.mark.parametrize("size", SIZES)
def test_a_class_goes_from_start_to_end_by_keys_nothing_is_cut_and_a_kill_loses_nothing(
    qtbot: QtBot, window: ClassroomWindow, size: tuple[int, int]
) -> None:
    window.resize(*size)
    QApplication.processEvents()
    course = open_class(window, CLASS)
    seen = 0
    while window.pages.currentWidget() is window.class_page:
        screen = course.screen
        answer(qtbot, window)
        QApplication.processEvents()
        window.grab()
        assert list(faults_of_looks(window)) == [], screen
        assert window.class_page.least_px() >= size[1] / 28
        if seen:
            # Whoever opens the record now finds all of it: as after a kill at this screen.
            kept = ClassRecords(window.records.folder).latest()[CLASS]
            assert kept.place == screen.key
            assert kept.count == course.count
        seen += 1
        turn(qtbot, window)
    assert seen == len(course.programme.screens)
    assert course.count > 12 * PEOPLE


@pytest.mark.parametrize("key", ["lesson winter-tilt", "lesson radio-choice"])
def test_lessons_with_curves_and_cards_are_not_cut_either(
    qtbot: QtBot, window: ClassroomWindow, key: str
) -> None:
    open_class(window, key)
    while window.pages.currentWidget() is window.class_page:
        answer(qtbot, window)
        QApplication.processEvents()
        window.grab()
        assert list(faults_of_looks(window)) == [], course_of(window).screen
        turn(qtbot, window)


def test_twelve_people_hold_the_75_minutes_with_five_to_spare(
    qtbot: QtBot, window: ClassroomWindow, clock: Clock
) -> None:
    room = Room()
    course = open_class(window, CLASS)
    playlist = read_class_plan(window.listed[2].path).playlist
    assert (playlist.minutes, len(playlist.lessons), len(playlist.opening)) == (75, 6, 6)
    while window.pages.currentWidget() is window.class_page:
        screen = course.screen
        parts = course.asked.step.parts if course.question else None
        if course.round:
            clock.at_s += room.silence_s if screen.kind == "guess" else READING_S
            people = lines_of(course) if course.asked.step.answer.kind != "choice" else []
            for text in people:
                clock.at_s += room.answer_s
                type_line(qtbot, text)
            if not people:
                clock.at_s += room.people * room.answer_s
                answer(qtbot, window)
            assert course.said.count(course.round) >= room.people
        elif screen.kind == "talk":
            window.class_page.tick()
            assert window.class_page.projected.counted.text == "1:30"
            clock.at_s += room.talk_s
            window.class_page.tick()
            assert window.class_page.projected.counted.text == "0:00"
        elif parts is not None and screen.kind in ("reason", "measure", "reveal", "change"):
            count = len(course.asked.step.tries) if screen.kind == "change" else 1
            clock.at_s += 60 * getattr(parts, f"{screen.kind}_min") / count
            answer(qtbot, window)
        else:
            clock.at_s += 60 * playlist.late_min if screen.kind == "cover" else READING_S
        turn(qtbot, window)
    assert clock.at_s <= 70 * 60
    spent_s = window.records.latest()[CLASS].spent_s
    assert sum(spent_s.values()) == pytest.approx(clock.at_s, abs=1.0)


def test_nothing_says_an_answer_before_its_reveal(qtbot: QtBot, window: ClassroomWindow) -> None:
    course = open_class(window, "playlist 30-minutes")
    # On two screens the notes of the instructor are another matter.
    truths = {each.key: truth_of(course.run_of(each)).words for each in course.programme.questions}
    while course.screen.kind != "end":
        if course.question is not None and course.screen.kind not in OPEN:
            answer(qtbot, window)
            said = everything_said(window)
            own = truths[course.question.key]
            sum_text = course.run.text(course.asked.step.sum).strip()
            assert sum_text.splitlines()[-1] not in said
            assert own not in said or course.asked.step.answer.kind in ("number", "choice")
            with pytest.raises(RuntimeError):
                _ = course.reveal
        elif course.screen.kind == "reveal":
            assert truths[course.asked.key] in everything_said(window)
        turn(qtbot, window)


def test_going_back_hides_the_answer_and_takes_no_more_guesses(
    qtbot: QtBot, window: ClassroomWindow
) -> None:
    open_class(window, "lesson tonight")
    course = go_to(qtbot, window, "second")
    type_line(qtbot, "02:00")
    words = go_to(qtbot, window, "reveal").reveal.truth.words
    assert words in everything_said(window)
    while course.screen.kind != "second":
        press(qtbot, Qt.Key.Key_PageUp)
    assert words not in everything_said(window)
    assert not window.class_page.desk.entry.isVisible()
    assert window.class_page.desk.note.text() == "The answer has been shown: no more guesses"


def test_a_line_takes_a_whole_room_and_asks_where_it_is_unclear(
    qtbot: QtBot, window: ClassroomWindow
) -> None:
    open_class(window, "lesson tonight")
    course = go_to(qtbot, window, "guess")
    desk = window.class_page.desk
    type_line(qtbot, "22:00 0200 7am never 11pm")
    assert course.said.count(1) == 5
    assert desk.note.text() == "5 guesses, the last line 5"
    type_line(qtbot, "23:00; soon")
    assert course.said.count(1) == 5
    assert desk.note.text().startswith('"soon": write a time')
    desk.entry.clear()
    press(qtbot, Qt.Key.Key_Backspace)
    assert course.said.count(1) == 0
    qtbot.keyClicks(desk.entry, "06:00")
    press(qtbot, Qt.Key.Key_PageDown)
    assert course.said.count(1) == 1, "what stands typed is taken when the page is turned"
    assert course.screen.kind != "guess"


def test_hands_are_counted_for_each_choice_and_shown_as_bars(
    qtbot: QtBot, window: ClassroomWindow
) -> None:
    open_class(window, "lesson amplifier")
    course = go_to(qtbot, window, "guess")
    fields = window.class_page.desk.counts.fields
    assert QApplication.focusWidget() is fields[0]
    type_line(qtbot, "4")
    assert QApplication.focusWidget() is fields[1]
    qtbot.keyClicks(fields[1], "8")
    assert course.said.votes == {1: [4, 8]}
    go_to(qtbot, window, "second")
    qtbot.keyClicks(fields[0], "2")
    go_to(qtbot, window, "reveal")
    bars = window.class_page.projected.votes.accessibleDescription().splitlines()
    assert bars[0].startswith("A One box, ")
    assert bars[0].endswith(": 4, then 2")
    assert bars[1].endswith(": 8, then 0, right")


def test_without_guesses_the_page_turns_only_at_the_second_key(
    qtbot: QtBot, window: ClassroomWindow
) -> None:
    open_class(window, "lesson tonight")
    course = go_to(qtbot, window, "guess")
    press(qtbot, Qt.Key.Key_PageDown)
    assert course.screen.kind == "guess"
    press(qtbot, Qt.Key.Key_PageDown)
    assert course.screen.kind != "guess"


def test_a_curve_is_drawn_with_mouse_or_keys_and_the_keys_speak(
    qtbot: QtBot, window: ClassroomWindow
) -> None:
    open_class(window, "lesson winter-tilt")
    course = go_to(qtbot, window, "guess")
    QApplication.processEvents()
    window.grab()
    pad = window.class_page.projected.pad
    assert QApplication.focusWidget() is pad
    press(qtbot, Qt.Key.Key_Right)
    press(qtbot, Qt.Key.Key_Up)
    press(qtbot, Qt.Key.Key_Up)
    assert plain(pad.spoken) == "02:00, 10 W"
    assert course.said.curves[1][4] == pytest.approx(0.1)
    points = [
        QPointF(pad.width() * share, pad.height() * 0.6).toPoint() for share in (0.2, 0.5, 0.9)
    ]
    qtbot.mousePress(pad, Qt.MouseButton.LeftButton, pos=points[0])
    for point in points[1:]:
        qtbot.mouseMove(pad, point)
    qtbot.mouseRelease(pad, Qt.MouseButton.LeftButton, pos=points[-1])
    assert 0.1 < course.said.curves[1][24] < 1
    go_to(qtbot, window, "reveal")
    assert "In daylight: peak" in window.class_page.projected.said.text
    assert "by the run" in [words for _, words in pad.written] or not pad.grab().isNull()


def test_the_table_reads_a_number_or_there_is_no_meter(
    qtbot: QtBot, window: ClassroomWindow, tmp_path: Path
) -> None:
    text = (ROOT / "scenarios/lessons/tonight.toml").read_text(encoding="utf-8")
    path = tmp_path / "own.toml"
    path.write_text(text, encoding="utf-8")
    window.open_path(path)
    course = go_to(qtbot, window, "measure")
    page = window.class_page
    type_line(qtbot, "900 mA")
    assert page.projected.listed.text == "On the table: 900 mA"
    go_to(qtbot, window, "reveal")
    truth = course.measured_truth()
    assert truth is not None
    assert truth.amount is not None
    # 9 Ah over 0.9 A.
    assert truth.amount == pytest.approx(10.0, abs=0.05)
    assert "with 900 mA from the table" in page.projected.dots.accessibleDescription()
    window.show_list()
    window.open_path(path)
    window.start(window.listed[0], anew=True)
    window.open_path(path)


def test_passing_the_table_without_a_reading_is_kept_as_no_meter(
    qtbot: QtBot, window: ClassroomWindow
) -> None:
    course = open_class(window, CLASS)
    measured = [each for each in course.programme.screens if each.kind == "measure"]
    for screen in measured[:1]:
        course.place = course.programme.screens.index(screen)
        window.class_page.render_screen()
        press(qtbot, Qt.Key.Key_PageDown)
        kept = window.records.latest()[CLASS].said[screen.question].measured
        assert kept is not None
        assert not kept.has_value


def test_a_change_is_made_by_the_clicker_and_a_number_may_be_typed(
    qtbot: QtBot, window: ClassroomWindow
) -> None:
    open_class(window, "lesson tonight")
    course = go_to(qtbot, window, "change")
    page = window.class_page.projected
    assert "As it is: Receives until Sun 06:59, 12.0\xa0h" in page.said.text
    # 9 Ah over 0.24 A instead of 0.75 A.
    assert "Changed: Receives until Mon 08:26, 37.4\xa0h" in page.said.text
    page.grab()
    assert "before the change" in [words for _, words in page.result.written]
    while course.asked.step.tries[course.screen.number].path is None:
        press(qtbot, Qt.Key.Key_PageDown)
    type_line(qtbot, "0,5")
    # 9 Ah over 0.5 A.
    assert page.said.text.endswith("18.0\xa0h")
    type_line(qtbot, "-1")
    assert "at least 0" in window.class_page.desk.note.text()


def test_a_dark_screen_covers_the_page_and_any_key_ends_it(
    qtbot: QtBot, window: ClassroomWindow
) -> None:
    open_class(window, "lesson tonight")
    course = go_to(qtbot, window, "guess")
    for key in (Qt.Key.Key_B, Qt.Key.Key_Period):
        press(qtbot, key)
        page = window.class_page.projected
        dark = page.grab().toImage().pixelColor(page.width() // 2, page.height() // 2)
        assert dark.lightness() == 0
        press(qtbot, Qt.Key.Key_PageDown)
        assert course.screen.kind == "guess"
        assert not page.is_dark
    assert course.count == 0


def test_the_list_goes_on_where_the_class_was_and_says_its_guesses(
    qtbot: QtBot, window: ClassroomWindow
) -> None:
    open_class(window, "lesson tonight")
    course = go_to(qtbot, window, "guess")
    type_line(qtbot, "22:00 23:00 02:00")
    press(qtbot, Qt.Key.Key_Escape)
    assert window.pages.currentWidget() is window.list_page
    rows = [window.list_page.list.item(row).text() for row in range(window.list_page.list.count())]
    row = next(row for row in rows if "Listening only, tonight" in row)
    assert "3 guesses" in plain(row)
    window.close()
    again = ClassroomWindow(Display(Settings()))
    qtbot.addWidget(again)
    again.show()
    qtbot.keyClick(again.list_page.list, Qt.Key.Key_PageDown)
    assert course_of(again).screen == course.screen
    assert course_of(again).said.count(1) == 3
    again.show_list()
    again.list_page.buttons["anew"].click()
    assert course_of(again).place == 0
    again.close()


def test_a_clicker_goes_from_one_lesson_into_the_next(
    qtbot: QtBot, window: ClassroomWindow
) -> None:
    first = open_class(window, "lesson tonight")
    while window.pages.currentWidget() is window.class_page:
        turn(qtbot, window)
    assert window.records.latest()["lesson tonight"].is_over
    press(qtbot, Qt.Key.Key_PageDown)
    assert course_of(window).programme.key == "lesson receive-share"
    assert first.screen.kind == "end"


def test_on_two_screens_the_room_sees_no_notes_and_both_take_the_keys(
    qtbot: QtBot, window: ClassroomWindow
) -> None:
    window.list_page.buttons["two_screens"].setChecked(True)
    open_class(window, "lesson tonight")
    course, page = go_to(qtbot, window, "guess"), window.class_page
    room = page.room
    assert room is not None
    room.resize(1920, 1080)
    type_line(qtbot, "22:00 23:00")
    lesson = course.asked.lesson
    assert lesson is not None
    assert " ".join(lesson.notes.split()) in page.desk.notes.text
    assert page.desk.dots.isVisible()
    room.grab()
    QApplication.processEvents()
    window.grab()
    assert list(faults_of_looks(window)) == []
    shown = [text.text for text in page.projected.texts]
    assert not any(lesson.notes.split("\n")[0][:20] in text for text in shown if text)
    qtbot.keyClick(room, Qt.Key.Key_PageDown)
    assert course.screen.kind != "guess"
    room.close()
    assert page.room is None
    assert page.projected.window() is window
    assert window.class_page.projected.isVisible()


def test_the_strip_is_hidden_by_a_key_and_the_window_fills_the_screen(
    qtbot: QtBot, window: ClassroomWindow
) -> None:
    open_class(window, "lesson tonight")
    go_to(qtbot, window, "guess")
    desk = window.class_page.desk
    assert QApplication.focusWidget() is desk.entry
    press(qtbot, Qt.Key.Key_F11)
    assert window.isFullScreen()
    press(qtbot, Qt.Key.Key_F5)
    assert not window.isFullScreen()
    press(qtbot, Qt.Key.Key_F8)
    assert not desk.isVisible()
    press(qtbot, Qt.Key.Key_F8)
    assert desk.isVisible()


CRASH = """
import os, sys
os.environ["QT_QPA_PLATFORM"] = "offscreen"
from pathlib import Path
from PySide6.QtWidgets import QApplication
application = QApplication(["counterpoise"])
from app.classroom.record import ClassRecords
from app.classroom.window import ELSEWHERE
from app.classroom.window import ClassroomWindow
from app.state.display import Display
from app.state.settings import Settings
window = ClassroomWindow(Display(Settings()), ClassRecords(Path(sys.argv[1])))
window.show()
keys = [listed.programme.key for listed in window.listed]
window.open_listed(keys.index("lesson tonight"))
page = window.class_page
page.go_on()
page.enter("22:00 02:40 never")
page.go_on()
os.kill(os.getpid(), 9)
"""


def test_a_class_survives_a_kill(qtbot: QtBot, tmp_path: Path) -> None:
    environment = {**os.environ, "PYTHONPATH": str(ROOT)}
    done = subprocess.run(
        [sys.executable, "-c", CRASH, str(tmp_path)], cwd=ROOT, check=False, env=environment
    )
    assert done.returncode == -9
    window = ClassroomWindow(Display(Settings()), ClassRecords(tmp_path))
    qtbot.addWidget(window)
    window.show()
    qtbot.keyClick(window.list_page.list, Qt.Key.Key_PageDown)
    course = course_of(window)
    assert course.programme.key == "lesson tonight"
    assert course.screen.kind in ("reason", "talk")
    assert course.said.count(1) == 3
    window.close()


def test_own_lessons_and_playlists_are_listed_and_one_with_faults_is_told(
    window: ClassroomWindow, fresh_home: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    from app.classroom.lessons import own_folder

    lessons = own_folder()
    (lessons / "playlists").mkdir(parents=True)
    shipped = ROOT / "scenarios/lessons"
    mine = (shipped / "tonight.toml").read_text(encoding="utf-8")
    (lessons / "mine.toml").write_text(
        mine.replace("Listening only, tonight", "My own evening"), encoding="utf-8"
    )
    (lessons / "playlists" / "evening.toml").write_text(
        'format = 1\ntitle = "My two"\nminutes = 20\n'
        'lessons = [{ lesson = "mine" }, { lesson = "amplifier", steps = [1] }]\n',
        encoding="utf-8",
    )
    (lessons / "broken.toml").write_text("format = 3\nsteps = 7\n", encoding="utf-8")
    window.show_list()
    own = [each.programme.title for each in window.listed if each.is_own]
    assert own == ["My two", "My own evening"]
    assert "broken.toml" in window.list_page.note.text
    told: list[str] = []
    monkeypatch.setattr(
        "app.widgets.dialogs.tell_faults", lambda parent, title, faults: told.extend(faults)
    )
    window.open_path(lessons / "broken.toml")
    assert any("steps" in line for line in told)
    assert window.pages.currentWidget() is window.list_page


def test_handouts_and_guesses_are_written_from_the_list(
    qtbot: QtBot, window: ClassroomWindow, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    target, table = tmp_path / "class.pdf", tmp_path / "class.csv"
    monkeypatch.setattr("app.widgets.dialogs.ask_for_page_to_write", lambda *_: target)
    monkeypatch.setattr("app.widgets.dialogs.ask_for_export", lambda *_: table)
    open_class(window, "lesson tonight")
    go_to(qtbot, window, "guess")
    type_line(qtbot, "22:00 23:00")
    window.show_list()
    assert window.list_page.buttons["csv"].isEnabled()
    window.list_page.buttons["csv"].click()
    assert ",22:00 23:00," in table.read_text(encoding="utf-8")
    assert "2 guesses written to class.csv" in window.list_page.note.text
    window.list_page.buttons["handouts"].click()
    assert target.read_bytes().startswith(b"%PDF")
    assert "class.pdf" in window.list_page.note.text


def test_my_kit_answers_as_it_is_typed(qtbot: QtBot, window: ClassroomWindow) -> None:
    window.list_page.buttons["my_kit"].click()
    page = window.kit_page
    for name, text in (("receive_a", "0,9"), ("send_share", "0"), ("listen_h", "24")):
        page.lines[name].selectAll()
        qtbot.keyClicks(page.lines[name], text)
    assert page.result.text == "15\xa0h"
    assert "13.5\xa0Ah ÷ 21.6\xa0Ah × 24\xa0h = 15\xa0h" in page.sum.text
    page.lines["receive_a"].selectAll()
    qtbot.keyClicks(page.lines["receive_a"], "x")
    assert page.result.text == "–"
    assert "Current on receive" in page.note.text
    press(qtbot, Qt.Key.Key_Escape)
    assert window.pages.currentWidget() is window.list_page


def test_the_window_is_freed_when_it_is_closed(qtbot: QtBot) -> None:
    window = ClassroomWindow(Display(Settings()))
    window.show()
    open_class(window, "lesson beacon")
    window.class_page.part_screens()
    window.close()
    window.deleteLater()
    with qtbot.waitSignal(window.destroyed):
        pass


def test_a_class_that_another_window_has_open_begins_anew_and_says_so(
    qtbot: QtBot, window: ClassroomWindow
) -> None:
    other = ClassRecords(window.records.folder)
    other.begin(CLASS, "75 minutes")
    other.add("at", screen="")
    open_class(window, CLASS)
    assert window.class_page.desk.note.text() == ELSEWHERE
    other.let_go()
    window.show_list()
    open_class(window, CLASS)
    assert window.class_page.desk.note.text() == ""


def test_without_a_list_nothing_of_a_row_can_be_asked_for(
    fusion: None, qtbot: QtBot, fresh_home: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    why = "The lessons could not be read: the disk does not answer"
    monkeypatch.setattr("app.classroom.window.classes_in", lambda *_: ((), (why,)))
    window = ClassroomWindow(Display(Settings()))
    qtbot.addWidget(window)
    assert why in window.list_page.note.text
    for key in ("anew", "handouts", "csv"):
        assert not window.list_page.buttons[key].isEnabled()
    for ask in (window.write_csv, window.write_handouts, window.begin_anew, window.open_listed):
        ask(-1)


@pytest.mark.parametrize("text", ["7,", "1,2", "-3", "1 000", "4.5", "+9", "1234"])
def test_hands_are_digits_in_every_language(qtbot: QtBot, text: str) -> None:
    row = CountRow(2)
    qtbot.addWidget(row)
    row.ask(("yes", "no"), ())
    told: list[list[int]] = []
    row.counted.connect(told.append)
    field = row.fields[0]
    field.setLocale(QLocale(QLocale.Language.German))
    qtbot.keyClicks(field, text)
    assert field.text() == "".join(mark for mark in text if mark in "0123456789")[:3]
    if field.text():
        assert told[-1] == [int(field.text()), 0]
    else:
        assert not told
