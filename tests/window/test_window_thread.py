"""No file call of the program is made on the window's thread, whatever is done in the window."""

from __future__ import annotations

import logging
from collections.abc import Callable
from pathlib import Path

import pytest
from conftest import Answers
from failing_disk import FailingDisk, failing_disk
from PySide6.QtCore import QMimeData, QPointF, Qt, QUrl
from PySide6.QtGui import QDropEvent
from PySide6.QtWidgets import QApplication, QMenu
from pytestqt.qtbot import QtBot
from user import SETTLED_MS

from app import window as window_module
from app.classroom import ClassroomWindow
from app.main_window import MainWindow
from app.pages.field.bench.sheet import write_sheet
from app.pages.kit_page.page import KitPage
from app.pages.library.page import LibraryPage
from app.pages.size.export import ExportRow
from app.resources import resource
from app.state.recovery.slot import recovery_folder
from app.state.settings import settings_file
from app.widgets import dialogs
from app.widgets.icons import drawings, icon
from app.work.disk import disk
from model.files.scenario_file import read_scenario, write_scenario

RIDGE = resource("scenarios/ridge-weekend.toml")
LESSON = resource("scenarios/lessons/beacon.toml")
__all__ = ["failing_disk"]


class Deeds:
    """What a person does with files; each deed says what has to stand there afterwards."""

    def __init__(
        self, window: MainWindow, folder: Path, qtbot: QtBot, answers: Answers,
        monkeypatch: pytest.MonkeyPatch,
    ) -> None:  # fmt: skip
        self.window, self.folder, self.qtbot, self.answers = window, folder, qtbot, answers
        self._monkeypatch = monkeypatch
        self.wanted: list[Path] = []

    def wait_for(self, happened: Callable[[], bool]) -> None:
        self.qtbot.waitUntil(happened, timeout=SETTLED_MS)

    def export_to(self, name: str) -> None:
        path = self.folder / name
        self.wanted.append(path)
        self._monkeypatch.setattr(dialogs, "ask_for_export", lambda *_: path)
        self.answers.page = path

    def do_all(self) -> None:
        """Open, edit, save, export, and use every window there is."""
        self.open_and_save()
        self.export_pictures_and_pages()
        self.use_the_library()
        self.use_the_class()
        self.open_menus()
        logging.getLogger("counterpoise").error("a line of the log")

    def open_and_save(self) -> None:
        window = self.window
        data = QMimeData()
        data.setUrls([QUrl.fromLocalFile(str(self.folder / "kit.toml"))])
        drop = QDropEvent(
            QPointF(9, 9), Qt.DropAction.CopyAction, data, Qt.MouseButton.LeftButton,
            Qt.KeyboardModifier.NoModifier,
        )  # fmt: skip
        window.dropEvent(drop)
        assert window.document.path == self.folder / "kit.toml"
        window.document.edit("title", "edited")
        assert window.files.save()
        self.answers.open = self.folder / "none.toml"
        window.files.open()
        self.answers.save = self.folder / "other.toml"
        self.wanted.append(self.answers.save)
        window.document.edit("title", "edited again")
        assert window.files.save_as()
        window.display.set_us(True)
        window.theme.choose("dark")
        window.doubt.set_shown(True)

    def export_pictures_and_pages(self) -> None:
        for name in ("day.png", "day.svg"):
            self.export_to(name)
            self.window.picture.save()
        page = self.window.lenses.open("kit_page").view
        assert isinstance(page, KitPage)
        self.wait_for(page.sheets.save_button.isEnabled)
        self.export_to("kit.pdf")
        page.sheets.save_button.click()
        row = ExportRow("table", None)
        self.export_to("table.csv")
        row.write_table(self.wanted[-1], (("a",), [[1.5]]))
        self.export_to("bench.pdf")
        write_sheet(self.window.document.scenario.stations[0], self.wanted[-1])

    def use_the_library(self) -> None:
        view = self.window.views.open_library().view
        assert isinstance(view, LibraryPage)
        for name in ("parts.toml", "parts.csv"):
            self.export_to(name)
            view.browser.buttons["export"].click()
            path = self.wanted[-1]
            self._monkeypatch.setattr(dialogs, "ask_for_parts_to_open", lambda *_, to=path: to)
            view.browser.import_wanted.emit()
        view.shelf.delete(view.shelf.library.parts[0])
        view.shelf.save()

    def use_the_class(self) -> None:
        self.window.views.open_class()
        room = self.window.views.classroom
        assert isinstance(room, ClassroomWindow)
        self.export_to("handouts.pdf")
        lessons = [at for at, each in enumerate(room.listed) if not each.is_playlist]
        room.write_handouts(lessons[0])
        room.open_path(LESSON)
        for _ in range(2):
            assert room.class_page.course is not None
            room.class_page.go_on()
            room.class_page.enter("7")
            room.show_list()
            room.open_path(LESSON)
        room.show_list()
        self.export_to("class.csv")
        room.start(room.listed[lessons[0]])
        room.class_page.go_on()
        room.class_page.enter("22:00")
        room.show_list()
        room.write_csv(lessons[0])

    def open_menus(self) -> None:
        for menu in self.window.top.menus.findChildren(QMenu):
            menu.aboutToShow.emit()
        self.window.files.recover()


@pytest.fixture
def kit(tmp_path: Path) -> Path:
    path = tmp_path / "kit.toml"
    write_scenario(read_scenario(RIDGE), path)
    return path


@pytest.fixture
def deeds_done(
    kit: Path, failing_disk: FailingDisk, answers: Answers, monkeypatch: pytest.MonkeyPatch,
    qtbot: QtBot, fusion: None,
) -> Deeds:  # fmt: skip
    """A life of the program in which every file call outside the disk's thread fails."""
    lived: list[Deeds] = []
    drawings.cache_clear()
    icon.cache_clear()

    def live(self: QApplication) -> int:
        (window,) = [each for each in self.topLevelWidgets() if isinstance(each, MainWindow)]
        lived.append(Deeds(window, kit.parent, qtbot, answers, monkeypatch))
        lived[0].do_all()
        assert window.close()
        return 0

    monkeypatch.setattr(QApplication, "exec", live)
    with failing_disk.forbidding():
        assert window_module.open_window([str(kit)]) == 0
    disk.get(lambda: None)
    return lived[0]


def test_a_window_makes_no_file_call_on_its_own_thread(
    deeds_done: Deeds, failing_disk: FailingDisk
) -> None:
    assert failing_disk.on_other_threads == []
    missing = [path.name for path in deeds_done.wanted if not path.stat().st_size]
    assert missing == []
    assert len(deeds_done.wanted) == 10
    assert read_scenario(deeds_done.folder / "other.toml").title == "edited again"
    # What it keeps for itself was written too.
    assert "dark" in settings_file().read_text(encoding="utf-8")
    assert not list(recovery_folder().glob("*"))


def test_a_call_on_the_window_s_thread_would_be_found(
    failing_disk: FailingDisk, tmp_path: Path
) -> None:
    with failing_disk.forbidding():
        for call in (tmp_path.exists, tmp_path.iterdir, (tmp_path / "a").read_bytes):
            with pytest.raises(OSError, match="MainThread"):
                list(call())  # type: ignore[call-overload]
        assert disk.get(tmp_path.exists)
    assert len(failing_disk.on_other_threads) == 3
