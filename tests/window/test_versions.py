"""Earlier versions survive a save, and a file changed by something else is not replaced unasked."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest
from conftest import Answers
from PySide6.QtGui import QAction
from user import User

from app.resources import resource
from app.state.backups import VERSIONS_KEPT, Backups
from model.editing.paths import with_value
from model.files.scenario_file import read_scenario, write_scenario

RIDGE = resource("scenarios/ridge-weekend.toml")
NOW = datetime(2027, 6, 12, 10, 32, tzinfo=UTC)
CHANGED = with_value(read_scenario(RIDGE), "stations.0.reserve_fraction", 0.44)


@pytest.fixture
def file(tmp_path: Path) -> Path:
    path = tmp_path / "kit.toml"
    write_scenario(read_scenario(RIDGE), path)
    return path


def test_a_save_keeps_the_version_it_replaces_and_one_can_go_back(user: User, file: Path) -> None:
    user.window.files.open_path(file)
    before = user.window.document.scenario
    user.settle()
    user.fill("station 1, reserve", "44")
    user.choose("File", "Save")
    menu = versions_of(user)
    (entry,) = [action for action in menu if "field differs" in action.text()]
    entry.trigger()
    assert user.window.document.scenario == before
    assert not user.window.document.is_clean
    user.settle()
    user.window.document.undo_stack.undo()
    assert user.window.document.is_clean
    user.settle()


def versions_of(user: User) -> list[QAction]:
    menu = user.action("File", "Earlier versions").menu()
    menu.aboutToShow.emit()
    return menu.actions()


def test_without_an_earlier_version_the_menu_says_so(user: User) -> None:
    first = versions_of(user)[0]
    assert "None yet" in first.text()
    assert not first.isEnabled()


def test_the_last_few_versions_of_each_file_are_kept(tmp_path: Path, file: Path) -> None:
    backups, other = Backups(tmp_path / "kept"), tmp_path / "other.toml"
    write_scenario(CHANGED, other)
    for count in range(VERSIONS_KEPT + 3):
        write_scenario(with_value(CHANGED, "title", f"{count}"), file)
        assert backups.keep(file, NOW + timedelta(seconds=count)) == ""
    assert backups.keep(other, NOW) == ""
    titles = [read_scenario(backup.path).title for backup in backups.of(file)]
    assert titles == [f"{VERSIONS_KEPT + 2 - index}" for index in range(VERSIONS_KEPT)]
    assert len(backups.of(other)) == 1
    assert backups.keep(other, NOW + timedelta(hours=1)) == ""
    assert len(backups.of(other)) == 1


def test_a_version_that_cannot_be_kept_is_told_and_the_save_is_done(
    user: User, file: Path, tmp_path: Path
) -> None:
    blocked = tmp_path / "blocked"
    blocked.write_text("", encoding="utf-8")
    user.window.files.backups = Backups(blocked / "kept")
    user.window.files.open_path(file)
    user.settle()
    user.fill("station 1, reserve", "44")
    user.choose("File", "Save")
    assert user.window.document.is_clean
    assert read_scenario(file) == user.window.document.scenario
    assert "could not be kept" in user.window.foot.message


def test_a_file_that_is_damaged_offers_the_version_before(
    user: User, answers: Answers, file: Path
) -> None:
    user.window.files.open_path(file)
    before = user.window.document.scenario
    user.settle()
    user.fill("station 1, reserve", "44")
    user.choose("File", "Save")
    file.write_bytes(b"\0" * 400)
    answers.choice = 0
    assert user.window.files.open_path(file)
    assert user.window.document.scenario == before
    assert user.window.document.path is None
    assert not user.window.document.is_clean
    assert file.read_bytes() == b"\0" * 400


# ---- changed by something else


@pytest.mark.parametrize(("choice", "content"), [(None, "theirs"), (0, "mine"), (1, "theirs")])
def test_a_file_changed_by_something_else_is_not_replaced_unasked(
    user: User, answers: Answers, file: Path, tmp_path: Path, choice: int | None, content: str
) -> None:
    user.window.files.open_path(file)
    user.settle()
    user.fill("station 1, reserve", "44")
    theirs = with_value(CHANGED, "title", "theirs")
    write_scenario(theirs, file)
    answers.choice, answers.save = choice, tmp_path / "aside.toml"
    mine = user.window.document.scenario
    user.choose("File", "Save")
    assert any("has changed on disk" in words for words in answers.said)
    assert read_scenario(file) == (mine if content == "mine" else theirs)
    assert user.window.document.is_clean is (choice is not None)
    if choice == 0:
        (kept,) = user.window.files.backups.of(file)
        assert read_scenario(kept.path) == theirs
    if choice == 1:
        assert read_scenario(answers.save) == mine


def test_a_file_only_this_window_writes_is_saved_without_a_question(
    user: User, answers: Answers, file: Path
) -> None:
    user.window.files.open_path(file)
    user.settle()
    for reserve in ("44", "45"):
        user.fill("station 1, reserve", reserve)
        user.choose("File", "Save")
    file.unlink()
    user.fill("station 1, reserve", "46")
    user.choose("File", "Save")
    assert answers.said == []
    assert read_scenario(file) == user.window.document.scenario
