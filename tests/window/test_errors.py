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
from app.errors import ErrorHook, keep_copy, log_folder, start_log, stop_log
from model.files import read_scenario


@pytest.fixture
def hook(user: User) -> Iterator[ErrorHook]:
    start_log()
    made = ErrorHook(user.window.document)
    made.install()
    yield made
    made.remove()
    stop_log()


def fail() -> None:
    raise ZeroDivisionError("planted fault")


def report_a_failure() -> None:
    try:
        fail()
    except ZeroDivisionError as error:
        sys.excepthook(type(error), error, error.__traceback__)


@pytest.mark.usefixtures("hook")
def test_an_error_is_shown_logged_and_the_work_is_kept(user: User, answers: Answers) -> None:
    user.fill("station 1, reserve", "44")
    report_a_failure()
    words, report = answers.said[-2:]
    assert "still open" in words
    assert "planted fault" in report
    assert "PySide6" in report
    kept = Path(words.splitlines()[-1])
    assert read_scenario(kept) == user.window.document.scenario
    log = (log_folder() / "counterpoise.log").read_text(encoding="utf-8")
    assert "planted fault" in log


def test_an_error_behind_the_dialog_does_not_open_another(
    hook: ErrorHook, answers: Answers, monkeypatch: pytest.MonkeyPatch
) -> None:
    def failing_dialog(_parent: object, text: str, _report: str) -> None:
        answers.said.append(text)
        report_a_failure()

    monkeypatch.setattr("app.dialogs.tell_error", failing_dialog)
    report_a_failure()
    assert len(answers.said) == 1
    assert hook is not None


@pytest.mark.usefixtures("hook")
def test_an_error_in_a_thread_is_logged_and_opens_nothing(answers: Answers) -> None:
    thread = threading.Thread(target=fail)
    thread.start()
    thread.join()
    assert answers.said == []
    assert "planted fault" in (log_folder() / "counterpoise.log").read_text(encoding="utf-8")


def test_the_hooks_are_given_back(user: User) -> None:
    before = sys.excepthook, threading.excepthook
    hook = ErrorHook(user.window.document)
    hook.install()
    assert sys.excepthook != before[0]
    hook.remove()
    assert (sys.excepthook, threading.excepthook) == before


def test_without_a_place_for_the_log_the_window_still_works(
    user: User, monkeypatch: pytest.MonkeyPatch, tmp_path: Path
) -> None:
    blocked = tmp_path / "a file"
    blocked.write_text("", encoding="utf-8")
    monkeypatch.setattr("app.errors.log_folder", lambda: blocked / "logs")
    start_log()
    stop_log()
    assert keep_copy(user.window.document) is None


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
