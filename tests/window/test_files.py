"""Opening, saving and closing: nothing is lost without a question."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

import pytest
from conftest import Answers
from PySide6.QtCore import QMimeData, QPoint, QPointF, Qt, QUrl
from PySide6.QtGui import QDragEnterEvent, QDropEvent
from pytestqt.qtbot import QtBot
from user import User

from app.main_window import MainWindow
from app.resources import resource
from app.state.settings import Settings
from app.widgets.dialogs import Answer
from model.files.scenario_file import read_scenario
from model.group.group_file import read_group

SCENARIOS = sorted(resource("scenarios").glob("*.toml"))


def change_something(user: User) -> None:
    user.fill("station 1, reserve", "33")


@pytest.mark.parametrize("path", SCENARIOS, ids=lambda path: path.stem)
def test_opening_a_scenario_edits_nothing_and_finds_no_error(user: User, path: Path) -> None:
    assert user.window.files.open_path(path)
    user.settle()
    for title in ("Radio", "Battery", "Leads", "Extras"):
        user.open(1, title)
    assert user.window.document.scenario == read_scenario(path)
    assert user.window.document.is_clean
    comparison = user.window.session.comparison
    assert comparison is not None
    assert [f for f in comparison.findings if f.level == "error"] == []
    assert path.name in user.window.windowTitle()


def test_the_first_start_opens_the_weekend_on_the_ridge(user: User) -> None:
    assert user.reads("site, place") == "Harrow Ridge (invented)"
    assert user.window.document.is_clean


def test_what_is_saved_is_what_was_seen(user: User, answers: Answers, tmp_path: Path) -> None:
    answers.save = tmp_path / "mine.toml"
    change_something(user)
    assert user.window.isWindowModified()
    user.choose("File", "Save")
    assert read_scenario(answers.save) == user.window.document.scenario
    assert not user.window.isWindowModified()
    user.choose("Edit", "Undo change of station A, reserve")
    assert user.window.isWindowModified()


def test_cancel_keeps_the_window(user: User, answers: Answers) -> None:
    answers.unsaved = Answer.CANCEL
    change_something(user)
    assert not user.window.close()
    assert user.window.isVisible()
    answers.unsaved = Answer.DISCARD


def test_a_save_not_done_counts_as_cancel(user: User, answers: Answers) -> None:
    answers.unsaved, answers.save = Answer.SAVE, None
    change_something(user)
    assert not user.window.close()
    answers.unsaved = Answer.DISCARD


def test_a_save_that_failed_counts_as_cancel(user: User, answers: Answers, tmp_path: Path) -> None:
    answers.unsaved, answers.save = Answer.SAVE, tmp_path / "no such folder" / "x.toml"
    change_something(user)
    assert not user.window.close()
    assert user.window.isVisible()
    assert any("there is no such file or folder" in line for line in answers.said)
    assert not user.window.document.is_clean
    answers.unsaved = Answer.DISCARD


def test_every_fault_of_a_bad_file_is_told_and_the_work_stays(
    user: User, answers: Answers, tmp_path: Path
) -> None:
    before = user.window.document.scenario
    text = SCENARIOS[0].read_text(encoding="utf-8")
    bad = tmp_path / "bad.toml"
    bad.write_text(
        text.replace("capacity_ah = ", "capacity_ah = -", 1).replace(
            "receive_a = ", "recieve_a = ", 1
        ),
        encoding="utf-8",
    )
    answers.open = bad
    user.choose("File", "Open…")
    assert any("capacity_ah" in line and "greater than 0" in line for line in answers.said)
    assert any('nearest known key is "receive_a"' in line for line in answers.said)
    assert user.window.document.scenario is before


def test_recent_files_are_kept_and_opened(user: User, open_window: Callable[..., User]) -> None:
    user.window.files.open_path(SCENARIOS[-1])
    user.window.close()
    again = open_window()
    again.choose("File", "Open recent", SCENARIOS[-1].name)
    assert again.window.document.path == SCENARIOS[-1].resolve()


def test_a_recent_file_that_is_gone_is_told_and_forgotten(
    user: User, answers: Answers, tmp_path: Path
) -> None:
    answers.save = tmp_path / "gone.toml"
    user.choose("File", "Save as…")
    answers.save.unlink()
    user.choose("File", "Open recent", "gone.toml")
    assert any("there is no such file or folder" in line for line in answers.said)
    assert str(answers.save) not in Settings().recent_files


def drop(user: User, *paths: Path) -> bool:
    data = QMimeData()
    data.setUrls([QUrl.fromLocalFile(str(path)) for path in paths])
    copy, left = Qt.DropAction.CopyAction, Qt.MouseButton.LeftButton
    none = Qt.KeyboardModifier.NoModifier
    enter = QDragEnterEvent(QPoint(5, 5), copy, data, left, none)
    enter.ignore()
    user.window.dragEnterEvent(enter)
    if enter.isAccepted():
        user.window.dropEvent(QDropEvent(QPointF(5, 5), copy, data, left, none))
    return enter.isAccepted()


def test_a_file_dragged_in_is_opened(user: User) -> None:
    assert drop(user, SCENARIOS[0])
    user.settle()
    assert user.window.document.scenario == read_scenario(SCENARIOS[0])
    assert not drop(user, *SCENARIOS[:2])


def test_unsaved_work_is_asked_about_before_another_file_opens(
    user: User, answers: Answers
) -> None:
    answers.unsaved = Answer.CANCEL
    change_something(user)
    before = user.window.document.scenario
    assert drop(user, SCENARIOS[0])
    assert user.window.document.scenario is before
    assert answers.said
    answers.unsaved = Answer.DISCARD


def test_new_begins_with_a_scenario_that_runs_and_has_no_file(user: User) -> None:
    user.choose("File", "New")
    comparison = user.window.session.comparison
    assert comparison is not None
    assert None not in comparison.runs
    assert user.window.document.path is None
    assert user.window.document.is_clean


def test_new_begins_at_the_home_place_until_that_is_forgotten(
    user: User, open_window: Callable[..., User]
) -> None:
    ridge = user.window.document.scenario
    user.window.place_sheet.open_sheet()
    user.click("Remember as home place")
    assert user.sees("This is your home place.")
    user.window.close()
    again = open_window(read_scenario(SCENARIOS[-1]))
    again.window.place_sheet.open_sheet()
    assert again.sees("Home: Harrow Ridge (invented)")
    again.choose("File", "New")
    after = again.window.document.scenario
    assert (after.site, after.climate) == (ridge.site, ridge.climate)
    assert after.title == "New scenario"
    again.click("Forget the home place")
    assert not again.sees("home place.")
    assert Settings().home is None
    again.choose("File", "New")
    assert again.window.document.scenario.site.name == "A hill (invented)"


def test_an_example_opens_as_a_copy_that_asks_for_a_name(
    user: User, answers: Answers, tmp_path: Path
) -> None:
    user.window.examples.fill()
    *titles, group = [action.text() for action in user.window.examples.actions()]
    shipped = read_group(Path("scenarios/group/autumn-exercise.toml"))
    assert group == f"{shipped.group.title} (group)"
    assert sorted(titles) == sorted(read_scenario(path).title for path in SCENARIOS)
    assert titles[0] == user.window.document.scenario.title
    before = {path: path.read_bytes() for path in SCENARIOS}
    user.choose("File", "Examples", titles[-1])
    assert user.window.document.scenario.title == titles[-1]
    assert (user.window.document.path, user.window.document.is_clean) == (None, True)
    assert Settings().recent_files == []
    answers.save = tmp_path / "copy.toml"
    user.choose("File", "Save")
    assert user.window.document.path == answers.save
    assert {path: path.read_bytes() for path in SCENARIOS} == before


def test_unsaved_work_is_asked_about_before_an_example_opens(user: User, answers: Answers) -> None:
    answers.unsaved = Answer.CANCEL
    change_something(user)
    before = user.window.document.scenario
    user.window.examples.fill()
    user.choose("File", "Examples", user.window.examples.actions()[1].text())
    assert user.window.document.scenario is before
    assert answers.said
    answers.unsaved = Answer.DISCARD


def test_a_damaged_example_is_told_and_the_work_stays(
    user: User, answers: Answers, tmp_path: Path
) -> None:
    before = user.window.document.scenario
    bad = tmp_path / "bad.toml"
    bad.write_text("format = 2\n", encoding="utf-8")
    assert not user.window.files.open_example(bad)
    assert any("bad.toml could not be opened" in line for line in answers.said)
    assert user.window.document.scenario is before


def test_units_and_text_size_are_remembered(user: User, open_window: Callable[..., User]) -> None:
    user.choose("View", "US units")
    user.choose("View", "Larger text")
    user.window.close()
    again = open_window()
    assert again.action("View", "US units").isChecked()
    assert again.window.display.text_percent == 110


def test_size_and_division_are_remembered(user: User, qtbot: QtBot) -> None:
    # The screen of the tests is 800 by 800.
    user.window.resize(780, 740)
    size = user.window.size()
    user.window.sides.dragged_share = 0.3
    user.window.close()
    again = MainWindow(user.window.document.scenario, user.window.library, Settings())
    qtbot.addWidget(again)
    assert again.size() == size
    again.resize(1366, 768)
    again.show()
    assert again.left.width() == round(1366 * 0.3)
    again.close()


def test_a_read_only_file_is_not_replaced(user: User, answers: Answers, tmp_path: Path) -> None:
    kept = tmp_path / "kept.toml"
    kept.write_text("old", encoding="utf-8")
    kept.chmod(0o444)
    answers.save = kept
    user.choose("File", "Save as…")
    assert kept.read_text(encoding="utf-8") == "old"
    assert any("read-only" in line for line in answers.said)
    kept.chmod(0o644)
