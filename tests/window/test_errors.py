"""When the program itself is at fault: the work is kept, the log is written, nothing is lost."""

from __future__ import annotations

import sys
import threading
from collections.abc import Iterator
from pathlib import Path

import pytest
from conftest import Answers
from PySide6.QtWidgets import QApplication
from user import User

from app import window as window_module
from app.state.recovery.autosave import Autosave
from app.state.settings import Settings
from app.widgets.errors import ErrorHook, log_folder, start_log, stop_log
from model.files.journal import read_journal
from model.files.work_record import read_left
from model.scenario.scenario import Scenario


@pytest.fixture
def hook(user: User) -> Iterator[ErrorHook]:
    start_log()
    autosave = Autosave(user.window.document)
    made = ErrorHook(autosave.flush)
    made.install()
    yield made
    made.remove()
    autosave.close(keeps=False)
    stop_log()


def fail() -> None:
    raise ZeroDivisionError("planted fault")


def report_a_failure() -> None:
    try:
        fail()
    except ZeroDivisionError as error:
        sys.excepthook(type(error), error, error.__traceback__)


def come_to_rest() -> None:
    for _ in range(3):
        QApplication.processEvents()


def kept_in(path: str) -> Scenario | None:
    work = read_left(read_journal(path).entries)[0].work
    return work.scenario if work else None


@pytest.mark.usefixtures("hook")
def test_an_error_is_shown_logged_and_the_work_is_kept(user: User, answers: Answers) -> None:
    user.fill("station 1, reserve", "44")
    report_a_failure()
    assert answers.said == []
    come_to_rest()
    words, report = answers.said[-2:]
    assert "still open" in words
    assert "planted fault" in report
    assert "PySide6" in report
    assert kept_in(words.splitlines()[-1]) == user.window.document.scenario
    log = (log_folder() / "counterpoise.log").read_text(encoding="utf-8")
    assert "planted fault" in log


def test_an_error_behind_the_dialog_does_not_open_another(
    hook: ErrorHook, answers: Answers, monkeypatch: pytest.MonkeyPatch
) -> None:
    def failing_dialog(_parent: object, text: str, _report: str) -> None:
        answers.said.append(text)
        fail_elsewhere()
        come_to_rest()

    def fail_elsewhere() -> None:
        report_a_failure()

    monkeypatch.setattr("app.widgets.dialogs.tell_error", failing_dialog)
    report_a_failure()
    come_to_rest()
    assert len(answers.said) == 1
    assert hook is not None


@pytest.mark.usefixtures("hook")
def test_the_same_error_again_and_again_is_shown_once(answers: Answers) -> None:
    for _ in range(5):
        report_a_failure()
        come_to_rest()
    assert len(answers.said) == 2


def test_an_error_is_told_even_where_the_work_cannot_be_kept(
    qapp: QApplication, answers: Answers
) -> None:
    def keep() -> Path:
        raise RuntimeError("the disk has gone")

    hook = ErrorHook(keep)
    hook.install()
    report_a_failure()
    come_to_rest()
    hook.remove()
    assert "planted fault" in answers.said[-1]
    assert qapp is not None


@pytest.mark.usefixtures("hook")
def test_an_error_in_a_thread_is_told_too(user: User, answers: Answers) -> None:
    user.fill("station 1, reserve", "44")
    thread = threading.Thread(target=fail)
    thread.start()
    thread.join()
    come_to_rest()
    words, report = answers.said[-2:]
    assert "planted fault" in report
    assert kept_in(words.splitlines()[-1]) == user.window.document.scenario
    assert "planted fault" in (log_folder() / "counterpoise.log").read_text(encoding="utf-8")


@pytest.mark.parametrize("broken", ["search_comparison", "search_verdict"])
def test_a_run_that_fails_says_so_beside_the_input_and_editing_goes_on(
    user: User, answers: Answers, monkeypatch: pytest.MonkeyPatch, broken: str
) -> None:
    before = user.window.session.comparison

    def broken_run(_given: object, **_how: float) -> Iterator[float]:
        yield 0.0
        raise FloatingPointError("planted fault")

    with monkeypatch.context() as patch:
        patch.setattr(f"app.state.session.{broken}", broken_run)
        user.window.document.edit("stations.0.reserve_fraction", 0.44)
        user.wait_for(lambda: user.sees("planted fault"))
        assert user.window.isVisible()
        assert user.reads("station 1, reserve") == "44"
        assert answers.said == []
        if broken == "search_comparison":
            assert user.window.session.comparison is before
    user.fill("station 1, reserve", "45")
    assert not user.sees("planted fault")


def test_the_hooks_are_given_back(qapp: QApplication) -> None:
    assert qapp is not None
    before = sys.excepthook, threading.excepthook
    hook = ErrorHook(lambda: None)
    hook.install()
    assert sys.excepthook != before[0]
    hook.remove()
    assert (sys.excepthook, threading.excepthook) == before


def test_without_a_place_for_the_log_the_window_still_works(
    monkeypatch: pytest.MonkeyPatch, tmp_path: Path
) -> None:
    blocked = tmp_path / "a file"
    blocked.write_text("", encoding="utf-8")
    monkeypatch.setattr("app.widgets.errors.log_folder", lambda: blocked / "logs")
    assert start_log().startswith("No log is written")
    stop_log()


@pytest.mark.usefixtures("fusion")
def test_the_program_opens_a_window_with_a_file_and_ends(
    qapp: QApplication, monkeypatch: pytest.MonkeyPatch
) -> None:
    seen: list[str] = []

    def one_look(self: QApplication) -> int:
        windows = [w for w in self.topLevelWidgets() if w.isVisible() and w.windowTitle()]
        seen.extend(window.windowTitle() for window in windows)
        for window in windows:
            window.close()
        return 0

    monkeypatch.setattr(QApplication, "exec", one_look)
    path = Path(__file__).parents[2] / "scenarios" / "midwinter-relay.toml"
    assert window_module.open_window([str(path)]) == 0
    assert seen == ["midwinter-relay.toml[*] – Counterpoise"]
    assert qapp is not None


def test_the_last_file_is_opened_again_if_it_is_still_there(tmp_path: Path) -> None:
    settings = Settings()
    assert window_module.file_to_begin_with([], settings) is None
    last = tmp_path / "last.toml"
    settings.remember_file(str(last))
    assert window_module.file_to_begin_with([], settings) is None
    last.write_text("", encoding="utf-8")
    assert window_module.file_to_begin_with([], settings) == last
    assert (
        window_module.file_to_begin_with(["other.toml"], settings) == Path("other.toml").absolute()
    )
