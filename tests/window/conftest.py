"""A window to use, and dialogs that answer by themselves and remember what they were asked."""

from __future__ import annotations

import sys
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, field
from pathlib import Path

import pytest
from PySide6.QtWidgets import QApplication
from pytestqt.qtbot import QtBot

from app.main_window import MainWindow
from app.state.settings import Settings
from app.state.starting import first_scenario, starter_library
from app.widgets import dialogs
from model.library.catalogue import Library
from model.scenario.scenario import Scenario

sys.path.insert(0, str(Path(__file__).parent))
from user import User


@dataclass
class Answers:
    """What the person answers to each dialog, and what the dialogs said."""

    open: Path | None = None
    save: Path | None = None
    page: Path | None = None
    unsaved: dialogs.Answer = dialogs.Answer.DISCARD
    choice: int | None = None
    listed: tuple[int, list[int]] | None = None
    said: list[str] = field(default_factory=list)


@pytest.fixture(autouse=True)
def answers(monkeypatch: pytest.MonkeyPatch) -> Answers:
    """Replace every dialog."""
    given = Answers()

    def ask_about_unsaved(_parent: object, name: str) -> dialogs.Answer:
        given.said.append(f"unsaved: {name}")
        return given.unsaved

    def choose(_parent: object, title: str, text: str, choices: Sequence[str]) -> int | None:
        given.said.append("\n".join([title, text, *choices]))
        return given.choice

    def choose_from_list(
        _parent: object, title: str, _text: str, rows: Sequence[str], _choices: Sequence[str]
    ) -> tuple[int, list[int]] | None:
        given.said.append("\n".join([title, *rows]))
        return given.listed

    monkeypatch.setattr(dialogs, "choose", choose)
    monkeypatch.setattr(dialogs, "choose_from_list", choose_from_list)
    monkeypatch.setattr(dialogs, "ask_for_file_to_open", lambda *_: given.open)
    monkeypatch.setattr(dialogs, "ask_for_reports_to_open", lambda *_: given.open)
    monkeypatch.setattr(dialogs, "ask_for_logger_to_open", lambda *_: given.open)
    monkeypatch.setattr(dialogs, "ask_for_lesson_to_open", lambda *_: given.open)
    monkeypatch.setattr(dialogs, "ask_for_group_to_open", lambda *_: given.open)
    monkeypatch.setattr(dialogs, "ask_for_group_to_save", lambda *_: given.save)
    monkeypatch.setattr(dialogs, "ask_for_file_to_save", lambda *_: given.save)
    monkeypatch.setattr(dialogs, "ask_for_page_to_write", lambda *_: given.page)
    monkeypatch.setattr(dialogs, "ask_about_unsaved", ask_about_unsaved)
    monkeypatch.setattr(
        dialogs, "tell", lambda _p, title, text: given.said.append(f"{title}: {text}")
    )
    monkeypatch.setattr(
        dialogs, "tell_faults", lambda _p, title, faults: given.said.extend([title, *faults])
    )
    monkeypatch.setattr(
        dialogs, "tell_error", lambda _p, text, report: given.said.extend([text, report])
    )
    return given


@pytest.fixture(scope="session")
def library() -> Library:
    return starter_library()


@pytest.fixture
def fusion(qapp: QApplication) -> Iterator[None]:
    """The style the program runs with, and afterwards the usual font and colours."""
    font, palette = qapp.font(), qapp.palette()
    qapp.setStyle("Fusion")
    yield
    qapp.setFont(font)
    qapp.setPalette(palette)


@pytest.fixture
def open_window(qtbot: QtBot, library: Library, fusion: None) -> Callable[..., User]:
    """Return a way to open a window, with the first scenario or another."""

    def opened(scenario: Scenario | None = None) -> User:
        window = MainWindow(scenario or first_scenario(library), library, Settings())
        qtbot.addWidget(window)
        window.resize(1366, 768)
        window.show()
        user = User(window, qtbot)
        user.settle()
        return user

    return opened


@pytest.fixture
def user(open_window: Callable[..., User]) -> User:
    """A person before the window as it first opens."""
    return open_window()
