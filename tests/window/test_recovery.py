"""Unsaved work survives a kill, earlier versions survive a save, and nothing is taken over."""

from __future__ import annotations

import os
import subprocess
import sys
from collections.abc import Iterator
from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest
from conftest import Answers
from PySide6.QtGui import QAction
from PySide6.QtWidgets import QApplication
from user import User

from app import window as window_module
from app.resources import resource
from app.state.backups import VERSIONS_KEPT, Backups
from app.state.recovery.autosave import Autosave
from app.state.recovery.offer import DELETE, LATER, OPEN, RecoveryOffer
from app.state.recovery.slot import HEADING, Slot, Work, orphans, recovery_folder
from model.editing.paths import with_value
from model.files.atomic_write import SaveError
from model.files.scenario_file import read_scenario, write_scenario

ROOT = Path(__file__).parents[2]
RIDGE = resource("scenarios/ridge-weekend.toml")
CHANGED = with_value(read_scenario(RIDGE), "stations.0.reserve_fraction", 0.44)
NOW = datetime(2027, 6, 12, 10, 32, tzinfo=UTC)


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    return tmp_path / "unsaved"


@pytest.fixture
def autosave(user: User, folder: Path) -> Iterator[Autosave]:
    kept = Autosave(user.window.document, folder)
    kept.failed.connect(user.window.foot.say)
    yield kept
    kept.close(keeps=False)


@pytest.fixture
def offer(user: User, autosave: Autosave, folder: Path) -> RecoveryOffer:
    window = user.window
    return RecoveryOffer(window, window.document, autosave, window.foot.say, folder)


@pytest.fixture
def file(tmp_path: Path) -> Path:
    path = tmp_path / "kit.toml"
    write_scenario(read_scenario(RIDGE), path)
    return path


def leave_an_orphan(folder: Path, file: Path | None, kept: datetime = NOW) -> Path:
    """Keep work as a process that is gone would have."""
    slot = Slot.new(folder)
    slot.write(Work(CHANGED, file, kept))
    slot.release()
    return slot.path


# ---- while it is edited


def test_work_is_kept_a_moment_after_a_change(user: User, autosave: Autosave) -> None:
    user.fill("station 1, reserve", "44")
    assert autosave.is_waiting
    user.wait_for(autosave.path.exists)
    assert read_scenario(autosave.path) == user.window.document.scenario


def test_what_is_kept_goes_once_it_is_saved_or_undone(
    user: User, autosave: Autosave, answers: Answers, tmp_path: Path
) -> None:
    answers.save = tmp_path / "mine.toml"
    user.fill("station 1, reserve", "44")
    assert autosave.flush() == autosave.path
    user.choose("File", "Save")
    user.wait_for(lambda: not autosave.path.exists())
    user.fill("station 1, reserve", "45")
    assert autosave.flush() is not None
    user.choose("Edit", "Undo change of station 1, reserve")
    user.wait_for(lambda: not autosave.path.exists())
    assert autosave.flush() is None


def test_work_that_cannot_be_kept_is_told_once_and_editing_goes_on(
    user: User, autosave: Autosave, folder: Path
) -> None:
    folder.write_text("a file where the folder should be", encoding="utf-8")
    user.fill("station 1, reserve", "44")
    assert autosave.flush() is None
    user.wait_for(lambda: "cannot be kept" in user.window.foot.message)
    user.window.foot.say("")
    user.fill("station 1, reserve", "45")
    assert autosave.flush() is None
    QApplication.processEvents()
    assert user.window.foot.message == ""
    assert user.reads("station 1, reserve") == "45"


def test_a_full_disk_leaves_what_was_kept_before(
    user: User, autosave: Autosave, monkeypatch: pytest.MonkeyPatch
) -> None:
    user.fill("station 1, reserve", "44")
    autosave.flush()
    before = autosave.path.read_bytes()

    def full(_descriptor: int) -> None:
        raise OSError(28, "No space left on device")

    user.fill("station 1, reserve", "45")
    monkeypatch.setattr(os, "fsync", full)
    assert autosave.flush() is None
    assert autosave.path.read_bytes() == before


# ---- offered again


def test_an_orphan_is_offered_with_its_time_and_what_differs(
    user: User, offer: RecoveryOffer, answers: Answers, folder: Path, file: Path
) -> None:
    orphan = leave_an_orphan(folder, file)
    answers.choice = OPEN
    assert offer.ask()
    (words,) = answers.said
    assert "kit.toml" in words
    assert f"{NOW.astimezone():%Y-%m-%d at %H:%M}" in words
    assert "station 1, reserve" in words
    document = user.window.document
    assert document.scenario == CHANGED
    assert document.path == file
    assert not document.is_clean
    assert not orphan.exists()
    user.settle()
    user.choose("Edit", "Undo opening of unsaved work")
    assert document.scenario == read_scenario(file)
    assert document.is_clean


@pytest.mark.parametrize("gone", [True, False])
def test_work_without_a_file_that_can_be_read_asks_where_it_goes(
    user: User, offer: RecoveryOffer, answers: Answers, folder: Path, file: Path, gone: bool
) -> None:
    leave_an_orphan(folder, file if gone else None)
    file.unlink()
    answers.choice = OPEN
    assert offer.ask()
    document = user.window.document
    assert document.scenario == CHANGED
    assert document.path is None
    assert not document.is_clean
    answers.save = file
    user.settle()
    user.choose("File", "Save")
    assert read_scenario(file) == CHANGED
    assert document.is_clean


@pytest.mark.parametrize(("answer", "stays"), [(LATER, True), (None, True), (DELETE, False)])
def test_work_not_opened_stays_until_it_is_deleted(
    user: User, offer: RecoveryOffer, answers: Answers, folder: Path, file: Path,
    answer: int | None, stays: bool,
) -> None:  # fmt: skip
    orphan = leave_an_orphan(folder, file)
    before = user.window.document.scenario
    answers.choice = answer
    assert offer.ask()
    assert orphan.exists() is stays
    assert user.window.document.scenario is before
    assert offer.ask() is stays


def test_the_newest_work_is_asked_about_first_and_only_one_is_opened(
    offer: RecoveryOffer, answers: Answers, folder: Path, file: Path
) -> None:
    old = leave_an_orphan(folder, file, NOW - timedelta(days=1))
    new = leave_an_orphan(folder, None)
    answers.choice = OPEN
    assert offer.ask()
    assert len(answers.said) == 1
    assert old.exists()
    assert not new.exists()


def test_with_a_file_to_open_only_its_own_work_is_offered(
    offer: RecoveryOffer, answers: Answers, folder: Path, file: Path
) -> None:
    leave_an_orphan(folder, None)
    assert not offer.ask(file)
    assert answers.said == []
    leave_an_orphan(folder, file)
    answers.choice = LATER
    assert offer.ask(file)
    assert len(answers.said) == 1


def test_two_windows_do_not_offer_each_other_s_work(
    user: User, offer: RecoveryOffer, autosave: Autosave
) -> None:
    user.fill("station 1, reserve", "44")
    assert autosave.flush() is not None
    assert not offer.ask()
    assert autosave.path.exists()


@pytest.mark.parametrize("damage", [
    b"", b"\x00" * 3000, b"\xff\xfe", HEADING.encode(), f"{HEADING}\n# {{}}\n".encode(),
    f"{HEADING}\n# not json\nformat = 1\n".encode(),
    f'{HEADING}\n# {{"kept": "yesterday", "file": null}}\nformat = 1\n'.encode(),
    f'{HEADING}\n# {{"kept": 7, "file": 7}}\nformat = 1\n'.encode(),
    f"{HEADING}\n# {'[' * 5000}\n".encode(), RIDGE.read_bytes(), b"x" * 3_000_000,
    f'{HEADING}\n# {{"kept": "2027-06-12", "file": null}}\n'.encode() + RIDGE.read_bytes()[:900],
], ids=lambda data: repr(data[:12]))  # fmt: skip
def test_work_that_is_damaged_is_set_aside(
    user: User, offer: RecoveryOffer, answers: Answers, folder: Path, damage: bytes
) -> None:
    folder.mkdir()
    bad = folder / "0123.toml"
    bad.write_bytes(damage)
    assert not offer.ask()
    assert not bad.exists()
    assert bad.with_suffix(".damaged").read_bytes() == damage
    assert "set aside" in user.window.foot.message
    assert answers.said == []


def test_a_process_killed_while_it_edits_leaves_work_that_is_offered(folder: Path) -> None:
    program = f"""
import sys, time
from pathlib import Path
from app.state.recovery.slot import Slot, Work
from datetime import UTC, datetime
from model.files.scenario_file import read_scenario
slot = Slot.new(Path({str(folder)!r}))
slot.write(Work(read_scenario({str(RIDGE)!r}), None, datetime.now(UTC)))
print("kept", flush=True)
time.sleep(600)
"""
    command = [sys.executable, "-c", program]
    with subprocess.Popen(command, stdout=subprocess.PIPE, cwd=ROOT) as editing:
        assert editing.stdout is not None
        assert editing.stdout.readline().strip() == b"kept"
        # As long as it runs, its work is its own.
        assert orphans(folder) == ([], [])
        editing.kill()
        editing.wait()
    found, aside = orphans(folder)
    assert aside == []
    ((slot, work),) = found
    assert work.scenario == read_scenario(RIDGE)
    slot.discard()
    slot.release()
    assert list(folder.iterdir()) == []


def test_a_slot_another_holds_cannot_be_written(folder: Path) -> None:
    path = leave_an_orphan(folder, None)
    mine, other = Slot(path), Slot(path)
    assert mine.take()
    with pytest.raises(SaveError):
        other.write(Work(CHANGED, None, NOW))
    mine.release()


@pytest.mark.usefixtures("fusion")
@pytest.mark.parametrize("closes", [True, False])
def test_the_program_keeps_the_work_of_a_window_nobody_closed(
    qapp: QApplication, answers: Answers, monkeypatch: pytest.MonkeyPatch, closes: bool
) -> None:
    def work_and_end(self: QApplication) -> int:
        for widget in self.topLevelWidgets():
            if isinstance(widget, window_module.MainWindow) and widget.isVisible():
                widget.document.edit("stations.0.reserve_fraction", 0.44)
                if closes:
                    widget.close()
        return 0

    monkeypatch.setattr(QApplication, "exec", work_and_end)
    assert window_module.open_window([]) == 0
    found, _ = orphans(recovery_folder())
    assert len(found) == (0 if closes else 1)
    for slot, work in found:
        assert work.scenario.stations[0].reserve_fraction == 0.44
        slot.release()
    answers.choice = LATER
    before = len(answers.said)
    window_module.open_window([])
    assert len(answers.said) == before + len(found) + closes
    assert qapp is not None


# ---- earlier versions


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


# ---- the whole way, with the program itself

EDIT_AND_DIE = """
import os, signal, sys
from PySide6.QtCore import QTimer
from PySide6.QtWidgets import QApplication
from app import dialogs, window
from app.state.recovery.slot import recovery_folder

dialogs.choose = lambda _parent, title, text, choices: print("ASKED", text) or 0

def find():
    return next(w for w in QApplication.topLevelWidgets() if isinstance(w, window.MainWindow))

def edit():
    print("HOLDS", find().document.scenario.stations[0].reserve_fraction, flush=True)
    find().document.edit("stations.0.reserve_fraction", float(sys.argv[2]))

def die():
    kept = "".join(path.read_text() for path in recovery_folder().glob("*.toml"))
    if f"reserve_fraction = {sys.argv[2]}" in kept:
        os.kill(os.getpid(), signal.SIGKILL)

application = QApplication([])
QTimer.singleShot(0, edit)
look = QTimer(interval=50)
look.timeout.connect(die)
look.start()
window.open_window([sys.argv[1]])
"""


def test_the_program_killed_while_editing_offers_the_work_at_its_next_start(file: Path) -> None:
    said = []
    for reserve in ("0.44", "0.55"):
        command = [sys.executable, "-c", EDIT_AND_DIE, str(file), reserve]
        ended = subprocess.run(
            command, cwd=ROOT, capture_output=True, text=True, timeout=240, check=False
        )
        assert ended.returncode < 0, ended.stderr
        said.append(ended.stdout)
    assert "ASKED" not in said[0]
    assert "kit.toml was saved" in said[1]
    assert "station 1, reserve" in said[1]
    assert "HOLDS 0.44" in said[1]
    found, _ = orphans(recovery_folder())
    assert [work.scenario.stations[0].reserve_fraction for _, work in found] == [0.55]
    for slot, _ in found:
        slot.release()
    assert read_scenario(file) == read_scenario(RIDGE)
