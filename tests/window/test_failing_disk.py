"""Every file call fails in turn: the window is open, the old file whole, one plain sentence."""

from __future__ import annotations

import errno
import os
import threading
import time
from datetime import UTC, datetime, timedelta, tzinfo
from pathlib import Path

import pytest
from conftest import Answers
from failing_disk import FailingDisk, failing_disk
from PySide6.QtWidgets import QApplication
from user import User

from app import window as window_module
from app.classroom.record import ClassRecords
from app.main_window import MainWindow
from app.pages.library.page import LibraryPage
from app.pages.library.place import own_library, own_shelf
from app.resources import resource
from app.state.backups import VERSIONS_KEPT, Backups
from app.state.recovery.autosave import Autosave
from app.state.recovery.offer import RecoveryOffer
from app.state.recovery.slot import orphans
from app.state.settings import Settings
from app.state.watch import FileWatch
from app.work.disk import NO_ANSWER, Disk, disk, is_wanted
from model.editing.paths import with_value
from model.files.atomic_write import SaveError, write_data
from model.files.journal import read_journal
from model.files.scenario_file import dump_scenario, read_scenario, write_scenario

RIDGE = resource("scenarios/ridge-weekend.toml")
REASONS = {
    errno.EACCES: "permission is refused",
    errno.EIO: "Input/output error",
    errno.ENOSPC: "the disk is full",
    errno.ENAMETOOLONG: "the name is too long",
    errno.ELOOP: "the link leads in a circle",
}
each_reason = pytest.mark.parametrize("number", REASONS, ids=lambda number: errno.errorcode[number])
__all__ = ["failing_disk"]


def is_plain(words: str) -> bool:
    """Whether these are words for a person: no class, no number of an error, no trace."""
    return bool(words) and not any(each in words for each in ("Errno", "Error(", "Traceback"))


@pytest.fixture
def file(tmp_path: Path) -> Path:
    path = tmp_path / "kit.toml"
    write_scenario(read_scenario(RIDGE), path)
    return path


@each_reason
@pytest.mark.usefixtures("fusion")
def test_the_window_opens_where_no_file_call_is_answered(
    failing_disk: FailingDisk, answers: Answers, monkeypatch: pytest.MonkeyPatch, file: Path,
    number: int,
) -> None:  # fmt: skip
    said: list[str] = []

    def one_look(self: QApplication) -> int:
        for widget in self.topLevelWidgets():
            if isinstance(widget, window_module.MainWindow) and widget.isVisible():
                said.append(widget.foot.message)
                widget.document.edit("stations.0.reserve_fraction", 0.44)
                assert widget.close()
        return 0

    monkeypatch.setattr(QApplication, "exec", one_look)
    Settings().remember_file(str(file))
    with failing_disk.failing(number):
        assert window_module.open_window([]) == 0
    assert failing_disk.count > 5
    assert len(said) == 1
    assert all(is_plain(words) for words in [*said, *answers.said])


@each_reason
def test_whichever_call_of_a_save_fails_a_whole_file_stands_there(
    user: User, failing_disk: FailingDisk, answers: Answers, file: Path, number: int
) -> None:
    window = user.window
    assert window.files.open_path(file)
    old = file.read_bytes()
    for call in range(1, 200):
        window.document.edit("title", f"change {call}")
        new = dump_scenario(window.document.scenario).encode()
        answers.said.clear()
        with failing_disk.failing(number, call, call):
            is_saved = window.files.save()
            is_over = failing_disk.count < call
        held = file.read_bytes()
        assert held == (new if is_saved else old), call
        assert window.document.is_clean is is_saved
        assert window.isVisible()
        assert all(is_plain(words) for words in answers.said)
        assert is_saved or len(answers.said) == 1
        old = held
        if is_over:
            break
    assert 10 < call < 199
    assert failing_disk.on_other_threads == []
    user.settle()


@each_reason
def test_whichever_call_of_the_journal_fails_what_it_held_is_there(
    user: User, failing_disk: FailingDisk, tmp_path: Path, number: int
) -> None:
    document = user.window.document
    autosave = Autosave(document, tmp_path / "unsaved")
    told: list[str] = []
    autosave.failed.connect(told.append)
    held = ""
    for call in range(1, 100):
        document.edit("title", f"change {call}")
        if call % 3 == 0:
            document.end_burst()
        with failing_disk.failing(number, call // 2 + 1, call // 2 + 1):
            is_kept = autosave.keep_now()
            is_over = failing_disk.count < call // 2 + 1
        disk.get(autosave._keeper.slot.release)
        found = orphans(tmp_path / "unsaved").left
        works = [left.work for _, left in found if left.work is not None]
        for slot, _ in found:
            slot.release()
        if is_kept:
            held = document.scenario.title
        titles = [work.scenario.title for work in works]
        assert titles in ([held] if held else [], [document.scenario.title])
        if is_over:
            break
    else:
        pytest.fail("the journal never came to an end")
    QApplication.processEvents()
    assert all(is_plain(words) for words in told)
    autosave.close(keeps=False)
    user.settle()


@each_reason
def test_whichever_call_of_the_library_fails_its_parts_are_there(
    failing_disk: FailingDisk, qapp: QApplication, number: int
) -> None:
    usual = own_library()[0]
    for call in range(1, 60):
        with failing_disk.failing(number, call, call):
            library, said = own_library()
            is_over = failing_disk.count < call
        assert library.of("radio")
        assert library.of("battery")
        assert said == "" or is_plain(said)
        if is_over:
            break
    shelf = own_shelf()
    told: list[str] = []
    shelf.save_failed.connect(told.append)
    for call in range(1, 200):
        part = shelf.library.of("radio")[0]
        shelf.replace(part, part.model_copy(update={"mass_kg": call / 100}))
        with failing_disk.failing(number, call, call):
            shelf.close()
            is_over = failing_disk.count < call
        if is_over:
            break
    assert is_over
    assert own_library()[0] == shelf.library
    assert len(usual.parts) == len(shelf.library.parts)
    assert all(is_plain(words) for words in told)
    shelf.close()
    assert qapp is not None


@each_reason
def test_whichever_call_of_the_class_record_fails_the_next_guess_brings_all(
    failing_disk: FailingDisk, tmp_path: Path, number: int
) -> None:
    for call in range(1, 40):
        records = ClassRecords(tmp_path / f"{call}")
        assert records.begin("a", "A") == ""
        with failing_disk.failing(number, call, call):
            said = records.add("votes", question="q", round=1, counts=[1])
            is_over = failing_disk.count < call
        assert said == "" or is_plain(said)
        assert records.add("votes", question="q", round=2, counts=[2]) == ""
        records.let_go()
        kept = ClassRecords(tmp_path / f"{call}").go_on("a")
        assert kept is not None
        assert kept.said["q"].votes == {1: [1], 2: [2]}
        if is_over:
            return
    pytest.fail("the record never came to an end")


@each_reason
def test_whichever_call_of_the_offer_fails_nothing_is_lost(
    user: User, failing_disk: FailingDisk, answers: Answers, tmp_path: Path, number: int
) -> None:
    document = user.window.document
    autosave = Autosave(document, tmp_path / "unsaved")
    document.edit("title", "kept")
    autosave.close(keeps=True)
    mine = Autosave(document, tmp_path / "unsaved")
    said: list[str] = []
    offer = RecoveryOffer(user.window, document, mine, said.append, tmp_path / "unsaved")
    for call in range(1, 60):
        with failing_disk.failing(number, call, call):
            offer.ask()
            is_over = failing_disk.count < call
        disk.get(lambda: None)
        if is_over:
            break
    answers.said.clear()
    assert offer.ask()
    assert "kept" in answers.said[0]
    assert all(is_plain(words) for words in said)
    mine.close(keeps=False)
    user.settle()


def test_a_full_disk_is_called_that_wherever_it_is_met(
    user: User, failing_disk: FailingDisk, answers: Answers, file: Path
) -> None:
    user.window.files.open_path(file)
    user.window.document.edit("title", "x")
    with failing_disk.failing(errno.ENOSPC):
        assert not user.window.files.save()
    assert answers.said == ["The scenario was not saved: kit.toml: the disk is full"]
    user.settle()


@pytest.mark.parametrize("year", [1, 1970, 2040, 9998])
def test_a_wrong_clock_orders_nothing_and_the_copy_just_written_stays(
    tmp_path: Path, file: Path, year: int
) -> None:
    backups = Backups(tmp_path / "kept")
    usual, wrong = datetime(2027, 6, 12, tzinfo=UTC), datetime(year, 6, 1, tzinfo=UTC)
    titles = []
    for count in range(VERSIONS_KEPT + 4):
        title = f"version {count}"
        write_scenario(with_value(read_scenario(RIDGE), "title", title), file)
        titles.insert(0, title)
        now = wrong if count % 2 else usual - timedelta(minutes=count)
        assert backups.keep(file, now) == ""
        kept = [read_scenario(each.path).title for each in backups.of(file)]
        assert kept == titles[:VERSIONS_KEPT]


class Wrong(datetime):
    """A clock that stands in another year."""

    year_now = 1970

    @classmethod
    def now(cls, tz: tzinfo | None = None) -> datetime:
        return datetime(cls.year_now, 1, 2, 3, 4, tzinfo=tz)


@pytest.mark.usefixtures("fusion")
@pytest.mark.parametrize("year", [1, 1970, 2040, 9999])
def test_a_wrong_clock_keeps_nothing_from_being_kept(
    monkeypatch: pytest.MonkeyPatch, answers: Answers, file: Path, tmp_path: Path, year: int
) -> None:
    monkeypatch.setattr(Wrong, "year_now", year)
    for module in ("pages.library.shelf", "classroom.record", "state.file_commands",
                   "state.recovery.autosave", "pages.field.bench.form"):  # fmt: skip
        monkeypatch.setattr(f"app.{module}.datetime", Wrong)
    monkeypatch.setattr(time, "time", lambda: (year - 1970) * 31_556_952.0)
    ended = []

    def live(self: QApplication) -> int:
        (window,) = [each for each in self.topLevelWidgets() if isinstance(each, MainWindow)]
        window.document.edit("title", f"life {len(ended)}")
        if not ended:
            assert window.files.save()
            window.document.edit("title", "not saved")
        page = window.views.open_library().view
        assert isinstance(page, LibraryPage)
        page.shelf.delete(page.shelf.library.of("radio")[0])
        page.shelf.close()
        window.lenses.open("bench")
        window.day.save_png(tmp_path / "day.png")
        window.views.open_class()
        room = window.views.classroom
        assert room is not None
        assert room.records.begin("a", "A") == ""
        ended.append(len(window.files.versions(file)))
        if len(ended) == 2:
            assert window.close()
        window.views.close()
        return 0

    monkeypatch.setattr(QApplication, "exec", live)
    assert window_module.open_window([str(file)]) == 0
    assert answers.said == []
    assert window_module.open_window([str(file)]) == 0
    assert f"kit.toml in {file.parent}, kept {year}-01-0" in answers.said[0]
    assert read_scenario(file).title == "life 0"
    assert ended == [1, 1]
    assert len(own_shelf().versions()) == 2


def test_a_disk_that_hangs_is_waited_for_a_while_and_what_comes_next_is_done() -> None:
    hanging, done = Disk(), []
    reading, writing = os.pipe()
    stuck = hanging.ask(lambda: os.read(reading, 1))
    behind = hanging.ask(lambda: done.append("behind"))
    with pytest.raises(OSError, match=NO_ANSWER):
        hanging.wait(stuck, 0.1)
    assert hanging.get(lambda: "next", 2.0) == "next"
    assert behind.is_done
    assert done == ["behind"]
    os.write(writing, b"x")
    assert stuck.wait(2.0)
    for end in (reading, writing):
        os.close(end)


def test_a_save_that_was_called_failed_never_replaces_what_is_saved_after_it(
    monkeypatch: pytest.MonkeyPatch, tmp_path: Path
) -> None:
    hanging, path, flush = Disk(), tmp_path / "kit.toml", os.fsync
    answers, is_flushed, is_over = threading.Event(), threading.Event(), threading.Event()
    late: list[str] = []

    def hang(descriptor: int) -> None:
        flush(descriptor)
        if not is_flushed.is_set():
            is_flushed.set()
            answers.wait()

    monkeypatch.setattr(os, "fsync", hang)

    def save_first() -> None:
        try:
            write_data(b"first", path, is_wanted)
        except SaveError as error:
            late.append(str(error))
        is_over.set()

    with pytest.raises(OSError, match=NO_ANSWER):
        hanging.get(save_first, 0.2)
    hanging.get(lambda: write_data(b"second", path, is_wanted))
    answers.set()
    assert is_over.wait(5.0)
    assert late == ["kit.toml: came too late"]
    assert path.read_bytes() == b"second"
    assert [each.name for each in tmp_path.iterdir()] == ["kit.toml"]


def test_typing_is_kept_while_the_disk_of_the_open_file_hangs(
    user: User, monkeypatch: pytest.MonkeyPatch, file: Path, tmp_path: Path
) -> None:
    answers = threading.Event()
    document = user.window.document
    document.open(file)
    autosave = Autosave(document, tmp_path / "unsaved")
    monkeypatch.setattr("app.state.watch.is_changed", lambda *_: answers.wait())
    watch = FileWatch(document, tmp_path / "open")
    watch.look()
    document.edit("title", "typed")
    user.wait_for(autosave.path.exists)
    (entry,) = [each for each in read_journal(autosave.path).entries if each["kind"] == "steps"]
    assert entry["add"][-1][1] == [[["title"], "typed"]]
    answers.set()
    watch.close()
    autosave.close(keeps=False)
    user.settle()


@pytest.mark.parametrize("error", [ZeroDivisionError, KeyError, OSError])
def test_what_fails_on_the_disk_s_thread_fails_where_it_was_asked(error: type[Exception]) -> None:
    def fail() -> None:
        raise error

    with pytest.raises(error):
        disk.get(fail)
