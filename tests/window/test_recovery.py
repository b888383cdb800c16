"""Unsaved work survives a kill, earlier versions survive a save, and nothing is taken over."""

from __future__ import annotations

import json
import os
import signal
import subprocess
import sys
from collections.abc import Iterator
from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest
from conftest import Answers
from PySide6.QtGui import QGuiApplication
from PySide6.QtWidgets import QApplication
from user import User

from app import window as window_module
from app.resources import resource
from app.state.document import digest_of
from app.state.recovery.autosave import Autosave
from app.state.recovery.offer import DELETE, MORE, OPEN, RecoveryOffer
from app.state.recovery.slot import Slot, orphans, recovery_folder
from app.widgets import dialogs
from model.editing.paths import with_value
from model.files.journal import read_journal
from model.files.scenario_file import dump_scenario, read_scenario, write_scenario
from model.files.work_record import UndoStep, Work, WorkWriter, read_left

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
    slot.hold()
    digest = digest_of(file.read_bytes()) if file is not None else ""
    work = Work(read_scenario(RIDGE), (UndoStep("change", CHANGED),), 1, file, digest)
    slot.journal.append(*WorkWriter().entries(work, kept))
    slot.release()
    return slot.path


def held_in(path: Path) -> Work | None:
    """The work a journal holds."""
    return read_left(read_journal(path).entries)[0].work


# ---- while it is edited


def test_work_is_kept_a_moment_after_a_change(user: User, autosave: Autosave) -> None:
    user.fill("station 1, reserve", "44")
    user.wait_for(autosave.path.exists)
    work = held_in(autosave.path)
    assert work is not None
    assert work.scenario == user.window.document.scenario


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
    user.choose("Edit", "Undo change of station A, reserve")
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

    monkeypatch.setattr(os, "fsync", full)
    user.fill("station 1, reserve", "45")
    assert autosave.flush() is None
    assert autosave.path.read_bytes() == before


def test_every_undo_step_since_the_last_save_is_in_the_journal(
    user: User, autosave: Autosave, tmp_path: Path
) -> None:
    document = user.window.document
    document.save(tmp_path / "kit.toml")
    for step, value in enumerate((0.31, 0.32, 0.33)):
        document.edit("stations.0.reserve_fraction", value, f"step {step}")
        document.end_burst()
        autosave.flush()
    document.undo_stack.undo()
    autosave.flush()
    first = len(read_journal(autosave.path).entries)
    document.edit("stations.1.name", "another")
    autosave.flush()
    # Each is one line more, and none says the scenario anew.
    assert first == 5
    assert len(read_journal(autosave.path).entries) == 6
    work = held_in(autosave.path)
    assert work is not None
    assert [step.text for step in work.steps] == ["step 0", "step 1", "change of station B, name"]
    assert (work.at, work.file) == (3, tmp_path / "kit.toml")
    document.save(tmp_path / "kit.toml")
    user.wait_for(lambda: not autosave.path.exists())


def test_a_path_is_whole_from_where_the_program_began(
    user: User, file: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.chdir(file.parent)
    user.window.document.open(Path(file.name))
    assert user.window.document.path == file
    user.window.document.save(Path("other.toml"))
    assert user.window.document.path == file.parent / "other.toml"
    user.settle()


# ---- offered again


def test_work_is_offered_with_its_folder_and_comes_back_with_its_undo_steps(
    user: User, offer: RecoveryOffer, answers: Answers, folder: Path, file: Path
) -> None:
    orphan = leave_an_orphan(folder, file)
    answers.listed = (OPEN, [0])
    assert offer.ask()
    (words,) = answers.said
    assert f"kit.toml in {file.parent}" in words
    assert f"{NOW.astimezone():%Y-%m-%d at %H:%M}" in words
    assert "The file is as it was then" in words
    assert "station A, reserve" in words
    document = user.window.document
    assert document.scenario == CHANGED
    assert document.path == file
    assert not document.is_clean
    assert not orphan.exists()
    user.settle()
    user.choose("Edit", "Undo change")
    assert document.scenario == read_scenario(file)
    assert document.is_clean
    user.choose("Edit", "Redo change")
    assert document.scenario == CHANGED


@pytest.mark.parametrize("what", ["gone", "another", "damaged"])
def test_work_never_joins_a_file_that_is_not_the_one_it_was_of(
    user: User, offer: RecoveryOffer, answers: Answers, folder: Path, file: Path, what: str
) -> None:
    leave_an_orphan(folder, file)
    if what == "gone":
        file.unlink()
    elif what == "another":
        write_scenario(with_value(CHANGED, "title", "another"), file)
    else:
        file.write_bytes(b"\0")
    before = file.read_bytes() if file.exists() else None
    answers.listed, answers.save = (OPEN, [0]), file.with_name("new.toml")
    assert offer.ask()
    assert "opens without it" in answers.said[0]
    document = user.window.document
    assert document.scenario == CHANGED
    assert document.path is None
    assert not document.is_clean
    user.settle()
    user.choose("File", "Save")
    assert read_scenario(file.with_name("new.toml")) == CHANGED
    assert (file.read_bytes() if file.exists() else None) == before


@pytest.mark.parametrize(("answer", "stays"), [(None, True), ((DELETE, [0]), False)])
def test_work_not_opened_stays_until_it_is_deleted(
    user: User, offer: RecoveryOffer, answers: Answers, folder: Path, file: Path,
    answer: tuple[int, list[int]] | None, stays: bool,
) -> None:  # fmt: skip
    orphan = leave_an_orphan(folder, file)
    before = user.window.document.scenario
    answers.listed = answer
    assert offer.ask()
    assert orphan.exists() is stays
    assert user.window.document.scenario is before
    assert offer.ask() is stays


def test_all_work_stands_in_one_list_the_newest_first(
    offer: RecoveryOffer, answers: Answers, folder: Path, file: Path
) -> None:
    paths = [leave_an_orphan(folder, file, NOW - timedelta(days=day)) for day in range(25)]
    answers.listed = (OPEN, [0])
    assert offer.ask()
    assert len(answers.said) == 1
    assert answers.said[0].count("kit.toml in") == 25
    assert [path.exists() for path in paths] == [False] + [True] * 24


def test_with_a_file_to_open_only_its_own_work_is_offered(
    user: User, offer: RecoveryOffer, answers: Answers, folder: Path, file: Path
) -> None:
    leave_an_orphan(folder, None)
    namesake = file.parent / "other" / file.name
    namesake.parent.mkdir()
    assert not offer.ask(file)
    assert answers.said == []
    assert user.window.foot.message == MORE
    leave_an_orphan(folder, file)
    assert not offer.ask(namesake)
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
    b"", b"\x00" * 3000, b"\xff\xfe", b"{}\n", b"[" * 5000, RIDGE.read_bytes(), b"x" * 3_000_000,
], ids=lambda data: repr(data[:12]))  # fmt: skip
def test_work_that_is_damaged_is_set_aside(
    user: User, offer: RecoveryOffer, answers: Answers, folder: Path, damage: bytes
) -> None:
    folder.mkdir()
    bad = folder / "0123.jsonl"
    bad.write_bytes(damage)
    assert not offer.ask()
    assert not bad.exists()
    assert answers.said == []
    if damage:
        assert bad.with_suffix(".damaged").read_bytes() == damage
        assert "set aside" in user.window.foot.message


def test_of_a_torn_journal_the_whole_lines_are_offered_and_the_loss_is_said(
    user: User, offer: RecoveryOffer, answers: Answers, folder: Path, file: Path
) -> None:
    orphan = leave_an_orphan(folder, file)
    orphan.write_bytes(orphan.read_bytes() + b'{"n": 3, "sum"')
    answers.listed = (OPEN, [0])
    assert offer.ask()
    assert user.window.document.scenario == CHANGED


@pytest.mark.parametrize("entry", [
    {"kind": "else"}, {}, 7,
    {"kind": "steps", "same": 0, "add": [["x", [[["no"], 1, 2]]]], "at": 1},
    {"kind": "steps", "same": 0, "add": [["x", [[["stations"], "none"]]]], "at": 1},
    {"kind": "work", "file": None, "digest": "", "table": {"format": 99}},
    {"kind": "typed", "key": [], "typed": 7}, {"kind": "parts", "changes": [7]},
    {"kind": "steps", "kept": "0001-01-01T00:00:00+14:00", "same": -5, "add": [], "at": 10**30},
    {"kind": "steps", "kept": 7, "same": 0, "add": [], "at": "1"},
    {"kind": "work", "file": "nul\0/" + "x" * 5000, "digest": "", "table": {}},
], ids=repr)  # fmt: skip
def test_entries_that_cannot_be_read_break_nothing(
    offer: RecoveryOffer, answers: Answers, folder: Path, entry: object
) -> None:
    orphan = Slot(leave_an_orphan(folder, None))
    orphan.journal.append(entry)
    answers.listed = (DELETE, [0])
    offer.ask()
    assert list(folder.glob("*.jsonl")) == []


def test_work_that_an_earlier_program_kept_is_offered_without_its_file(
    user: User, offer: RecoveryOffer, answers: Answers, folder: Path, file: Path
) -> None:
    folder.mkdir()
    old = folder / "0123.toml"
    about = json.dumps({"kept": NOW.isoformat(), "file": str(file)})
    old.write_text(f"# Unsaved work.\n# {about}\n{dump_scenario(CHANGED)}", encoding="utf-8")
    (folder / "4567.toml").write_text("# Unsaved work.\n", encoding="utf-8")
    answers.listed = (OPEN, [0])
    assert offer.ask()
    assert user.window.document.scenario == CHANGED
    assert user.window.document.path is None
    assert not old.exists()
    assert (folder / "4567.damaged").exists()
    user.settle()


def test_a_process_killed_while_it_edits_leaves_work_that_is_offered(folder: Path) -> None:
    program = f"""
import sys, time
from datetime import UTC, datetime
from pathlib import Path
from app.state.recovery.slot import Slot
from model.files.scenario_file import read_scenario
from model.files.work_record import Work, WorkWriter
slot = Slot.new(Path({str(folder)!r}))
slot.hold()
work = Work(read_scenario({str(RIDGE)!r}), (), 0)
slot.journal.append(*WorkWriter().entries(work, datetime.now(UTC)))
print("kept", flush=True)
time.sleep(600)
"""
    command = [sys.executable, "-c", program]
    with subprocess.Popen(command, stdout=subprocess.PIPE, cwd=ROOT) as editing:
        assert editing.stdout is not None
        assert editing.stdout.readline().strip() == b"kept"
        # As long as it runs, its work is its own.
        assert orphans(folder).left == ()
        editing.kill()
        editing.wait()
    found = orphans(folder)
    assert found.damaged == ()
    ((slot, left),) = found.left
    assert left.work is not None
    assert left.work.scenario == read_scenario(RIDGE)
    slot.discard()
    slot.release()
    assert list(folder.iterdir()) == []


@pytest.mark.usefixtures("fusion")
def test_an_error_over_what_was_left_is_told_in_a_window_that_opens_all_the_same(
    answers: Answers, monkeypatch: pytest.MonkeyPatch, file: Path
) -> None:
    def fail(*_: object) -> None:
        raise ZeroDivisionError("planted fault")

    def look(self: QApplication) -> int:
        (window,) = [
            each for each in self.topLevelWidgets() if isinstance(each, window_module.MainWindow)
        ]
        assert window.document.path == file
        QApplication.processEvents()
        assert window.close()
        return 0

    monkeypatch.setattr("app.state.recovery.offer.orphans", fail)
    monkeypatch.setattr(QApplication, "exec", look)
    assert window_module.open_window([str(file)]) == 0
    assert any("planted fault" in words for words in answers.said)


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
    found = orphans(recovery_folder()).left
    assert len(found) == (0 if closes else 1)
    for slot, left in found:
        assert left.work is not None
        assert left.work.scenario.stations[0].reserve_fraction == 0.44
        slot.release()
    before = len(answers.said)
    window_module.open_window([])
    assert len(answers.said) == before + len(found) + closes
    assert qapp is not None


@pytest.mark.usefixtures("fusion", "answers")
@pytest.mark.parametrize("end", ["signal", "close"])
def test_an_end_that_comes_while_the_program_starts_ends_it(
    qapp: QApplication, monkeypatch: pytest.MonkeyPatch, end: str
) -> None:
    def ask(_offer: RecoveryOffer, _file: Path | None) -> None:
        (window,) = [
            each
            for each in qapp.topLevelWidgets()
            if isinstance(each, window_module.MainWindow) and each.isVisible()
        ]
        window.document.edit("stations.0.reserve_fraction", 0.44)
        if end == "close":
            monkeypatch.setattr(dialogs, "ask_about_unsaved", lambda *_: dialogs.Answer.DISCARD)
            window.close()
        else:
            os.kill(os.getpid(), signal.SIGTERM)
            QApplication.processEvents()

    monkeypatch.setattr(RecoveryOffer, "ask", ask)
    # No loop is there yet that it could end; it would only keep those of later tests from running.
    monkeypatch.setattr(QGuiApplication, "exit", lambda *_: None)
    # A loop that begins after the end does not come back.
    monkeypatch.setattr(QApplication, "exec", lambda _: pytest.fail("it went on"))
    assert window_module.open_window([]) == 0
    found = orphans(recovery_folder()).left
    assert len(found) == (end == "signal")
    for slot, _ in found:
        slot.release()


# ---- the whole way, with the program itself

# A window that types, and says what it has typed; then it waits for what is done to it.
EDIT_AND_WAIT = """
import sys
from PySide6.QtCore import QTimer
from PySide6.QtWidgets import QApplication
from app import window
from app.widgets import dialogs

dialogs.choose_from_list = lambda *said: print("ASKED", said[3], flush=True) or (0, [0])

def edit():
    windows = [w for w in QApplication.topLevelWidgets() if isinstance(w, window.MainWindow)]
    if not windows or windows[0].document.path is None:
        QTimer.singleShot(50, edit)
        return
    document = windows[0].document
    print("HOLDS", document.scenario.stations[0].reserve_fraction, flush=True)
    document.edit("stations.0.reserve_fraction", float(sys.argv[2]))
    print("TYPED", flush=True)

application = QApplication([])
QTimer.singleShot(0, edit)
window.open_window([sys.argv[1]])
print("ENDED", flush=True)
"""


@pytest.mark.parametrize("number", [signal.SIGTERM, signal.SIGHUP])
def test_a_signal_loses_nothing_typed_and_the_next_start_offers_it(
    file: Path, number: signal.Signals
) -> None:
    said = []
    for reserve in ("0.44", "0.55"):
        command = [sys.executable, "-c", EDIT_AND_WAIT, str(file), reserve]
        with subprocess.Popen(command, cwd=ROOT, stdout=subprocess.PIPE, text=True) as program:
            assert program.stdout is not None
            lines = []
            while line := program.stdout.readline():
                lines.append(line)
                if line == "TYPED\n":
                    break
            # At once: no pause for the journal.
            program.send_signal(number)
            rest, _ = program.communicate(timeout=60)
        assert "ENDED" in rest
        assert program.returncode == 0
        said.append("".join(lines))
    assert "ASKED" not in said[0]
    assert "kit.toml in" in said[1]
    assert "HOLDS 0.44" in said[1]
