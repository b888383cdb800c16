"""What the dialogs themselves do: waved away, given odd names, and no more than one at a time."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

import pytest
from conftest import Answers
from PySide6.QtCore import QMimeData, QPointF, Qt, QTimer, QUrl
from PySide6.QtGui import QDropEvent
from PySide6.QtTest import QTest
from PySide6.QtWidgets import (
    QApplication,
    QDialog,
    QFileDialog,
    QLineEdit,
    QListWidget,
    QPushButton,
    QWidget,
)
from pytestqt.qtbot import QtBot
from user import User

from app.resources import resource
from app.state.watch import FileWatch, OpenMarks
from app.widgets import dialogs
from model.editing.paths import with_removed
from model.files.scenario_file import read_scenario, write_scenario

RIDGE = resource("scenarios/ridge-weekend.toml")
CSV_FILES = "Table (*.csv)"
# As they are before any test replaces one.
ASK_TO_SAVE, ASK_TO_EXPORT = dialogs.ask_for_file_to_save, dialogs.ask_for_export
ASK_FOR_PAGE, CHOOSE_FROM_LIST = dialogs.ask_for_page_to_write, dialogs.choose_from_list
ASK_FOR_LESSON = dialogs.ask_for_lesson_to_open
ASK_TO_OPEN, CHOOSE = dialogs.ask_for_file_to_open, dialogs.choose


@pytest.fixture
def parent(qtbot: QtBot) -> QWidget:
    widget = QWidget()
    qtbot.addWidget(widget)
    return widget


def when_a_dialog_opens(act: Callable[[QDialog], None]) -> None:
    """Do something with the dialog that opens next; it waits in a loop of its own."""

    def look() -> None:
        dialog = QApplication.activeModalWidget()
        if isinstance(dialog, QDialog):
            act(dialog)
        else:
            QTimer.singleShot(10, look)

    QTimer.singleShot(10, look)


def press_escape(dialog: QDialog) -> None:
    QTest.keyClick(dialog, Qt.Key.Key_Escape)


@pytest.mark.parametrize("ask", [
    lambda parent: ASK_TO_SAVE(parent, "kit.toml"), lambda parent: ASK_FOR_PAGE(parent, "kit.pdf"),
    lambda parent: ASK_TO_EXPORT(parent, "day.png", dialogs.PICTURE_FILES),
    lambda parent: ASK_TO_EXPORT(parent, "day.csv", CSV_FILES),
    lambda parent: ASK_TO_OPEN(parent, ""),
    lambda parent: dialogs.ask_for_parts_to_open(parent, ""),
    lambda parent: ASK_FOR_LESSON(parent, ""),
    lambda parent: CHOOSE(parent, "title", "text", ("one", "two")),
    lambda parent: CHOOSE_FROM_LIST(parent, "title", "text", ["a"], ["one", "two"]),
], ids=[
    "save", "page", "picture", "table", "open", "parts", "lesson", "choose", "list",
])  # fmt: skip
def test_escape_means_nothing_was_chosen(parent: QWidget, ask: Callable[[QWidget], object]) -> None:
    when_a_dialog_opens(press_escape)
    assert ask(parent) is None


@pytest.mark.parametrize(
    ("typed", "kinds", "whole"),
    [
        ("kit", "x (*.toml)", "kit.toml"),
        ("ridge v1.2", "x (*.toml)", "ridge v1.2.toml"),
        ("kit.TOML", "x (*.toml)", "kit.TOML"),
        ("kit.txt", "x (*.toml)", "kit.txt.toml"),
        ("day", dialogs.PICTURE_FILES, "day.png"),
        ("day.svg", dialogs.PICTURE_FILES, "day.svg"),
        ("day 13.8", dialogs.PICTURE_FILES, "day 13.8.png"),
    ],
)
def test_a_dot_in_a_name_begins_no_ending(
    parent: QWidget, tmp_path: Path, typed: str, kinds: str, whole: str
) -> None:
    def type_name(dialog: QDialog) -> None:
        assert isinstance(dialog, QFileDialog)
        line = dialog.findChild(QLineEdit)
        assert line is not None
        line.setText(str(tmp_path / typed))
        QTest.keyClick(line, Qt.Key.Key_Return)

    when_a_dialog_opens(type_name)
    assert ASK_TO_EXPORT(parent, "", kinds) == tmp_path / whole


def test_escape_adds_no_weather_files(parent: QWidget) -> None:
    when_a_dialog_opens(press_escape)
    assert dialogs.ask_for_weather_files(parent, "") == []


def test_several_weather_files_are_chosen_at_once(parent: QWidget, tmp_path: Path) -> None:
    paths = [tmp_path / name for name in ("2018.epw", "2019.epw")]
    for path in paths:
        path.write_text("", encoding="ascii")

    def type_names(dialog: QDialog) -> None:
        assert isinstance(dialog, QFileDialog)
        line = dialog.findChild(QLineEdit)
        assert line is not None
        line.setText(" ".join(f'"{path.name}"' for path in paths))
        QTest.keyClick(line, Qt.Key.Key_Return)

    when_a_dialog_opens(type_names)
    assert dialogs.ask_for_weather_files(parent, str(tmp_path)) == paths


def test_one_list_takes_one_or_many(parent: QWidget) -> None:
    def choose(button: str, rows: list[int]) -> Callable[[QDialog], None]:
        def act(dialog: QDialog) -> None:
            listed = dialog.findChild(QListWidget)
            assert listed is not None
            listed.clearSelection()
            for row in rows:
                listed.item(row).setSelected(True)
            next(each for each in dialog.findChildren(QPushButton) if each.text() == button).click()

        return act

    rows, choices = [f"<b>{number}</b>" for number in range(25)], ("Open it", "Delete")
    when_a_dialog_opens(choose("Delete", [3, 24]))
    assert CHOOSE_FROM_LIST(parent, "title", "text", rows, choices) == (1, [3, 24])
    when_a_dialog_opens(choose("Open it", [7]))
    assert CHOOSE_FROM_LIST(parent, "title", "text", rows, choices) == (0, [7])
    when_a_dialog_opens(choose("Open it", []))
    assert CHOOSE_FROM_LIST(parent, "title", "text", rows, choices) is None


@pytest.fixture
def file(tmp_path: Path) -> Path:
    path = tmp_path / "kit.toml"
    write_scenario(read_scenario(RIDGE), path)
    return path


@pytest.mark.parametrize("name", ["y" * 300, "loop", "nul\0.toml", "closed/kit.toml", "folder"])
def test_a_file_that_cannot_be_is_told_in_one_line_whether_dropped_or_saved(
    user: User, answers: Answers, tmp_path: Path, name: str
) -> None:
    (tmp_path / "loop").symlink_to(tmp_path / "loop")
    (tmp_path / "folder").mkdir()
    (tmp_path / "closed").write_text("a file where a folder should be", encoding="utf-8")
    data = QMimeData()
    data.setUrls([QUrl.fromLocalFile(f"{tmp_path}/{name}")])
    drop = QDropEvent(
        QPointF(9, 9), Qt.DropAction.CopyAction, data, Qt.MouseButton.LeftButton,
        Qt.KeyboardModifier.NoModifier,
    )  # fmt: skip
    user.window.dropEvent(drop)
    assert "could not be opened" in answers.said[0]
    assert len(answers.said) == 2
    answers.save = tmp_path / name
    answers.said.clear()
    before = user.window.document.scenario
    assert not user.window.files.save_as()
    (said,) = answers.said
    assert said.startswith("The scenario was not saved")
    assert "Errno" not in said
    assert user.window.document.scenario is before
    user.settle()


def test_a_view_kept_unseen_lets_go_of_stations_that_are_gone(user: User) -> None:
    window = user.window
    window.commands["station.duplicate"].trigger()
    user.settle()
    bench = window.lenses.open("bench")
    view = bench.view
    view.station.choose(2)
    form = view.forms.currentWidget()
    form._lines["radio.receive_a"].setText("0.19")
    window.lenses.look_at("day")
    window.document.replace("removal", with_removed(window.document.scenario, "stations.2"))
    user.settle()
    # Units and the library reach what is not seen.
    window.display.set_us(True)
    library = window.views.open_library().view
    library.shelf.delete(library.shelf.library.of("radio")[0])
    window.display.set_us(False)
    window.document.undo_stack.undo()
    user.settle()
    window.lenses.open("bench")
    view.station.choose(2)
    user.settle_all()
    assert view.forms.currentWidget()._lines["radio.receive_a"].text() == "0.19"
    assert window.sheet.sheet.columnCount() == 3


def test_a_file_that_something_else_writes_is_noticed_and_said_once(
    user: User, file: Path, tmp_path: Path
) -> None:
    document = user.window.document
    watch = FileWatch(document, tmp_path / "open")
    said: list[str] = []
    watch.said.connect(said.append)
    document.open(file)
    document.edit("title", "mine")
    document.save(file)
    for _ in range(3):
        watch.look()
        watch.disk.get(lambda: None)
    assert said == []
    file.write_bytes(file.read_bytes() + b"\n")
    for _ in range(4):
        watch.look()
        watch.disk.get(lambda: None)
    assert said == [
        "kit.toml has changed on disk: something else has written it. Saving asks first"
    ]
    watch.close()
    user.settle()


def test_a_file_that_another_window_has_open_is_said_at_once(
    user: User, file: Path, tmp_path: Path
) -> None:
    other = OpenMarks(tmp_path / "open")
    link = tmp_path / "link.toml"
    link.symlink_to(file)
    assert other.take(file)
    watch = FileWatch(user.window.document, tmp_path / "open")
    said: list[str] = []
    watch.said.connect(said.append)
    user.window.document.open(link)
    user.wait_for(lambda: len(said) == 1)
    assert "link.toml is open in another window too" in said[0]
    other.release()
    user.window.document.start(user.window.document.scenario)
    user.window.document.open(link)
    watch.disk.get(lambda: None)
    QApplication.processEvents()
    assert not other.take(file)
    assert len(said) == 1
    watch.close()
    user.settle()
