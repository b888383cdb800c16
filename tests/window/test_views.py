"""The windows beside the main one, as a person opens, uses and closes them."""

from __future__ import annotations

import gc
import weakref
from collections.abc import Callable
from pathlib import Path

import pytest
from beside import VIEWS, follow, opened, pick, scenario_of
from PySide6.QtCore import QCoreApplication, QEvent, Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import (
    QAbstractButton,
    QAbstractSpinBox,
    QApplication,
    QComboBox,
    QLineEdit,
    QPlainTextEdit,
    QTableView,
    QWidget,
)
from user import User

from app.main_window import MainWindow
from app.views.view_window import ViewWindow


@pytest.mark.parametrize("key", VIEWS)
def test_a_window_opens_from_the_menu_with_the_keyboard_in_it(user: User, key: str) -> None:
    window = opened(user, key)
    focused = window.focusWidget()
    assert focused is not None
    assert window.isAncestorOf(focused)
    assert VIEWS[key] in window.windowTitle()
    QTest.keyClick(window, Qt.Key.Key_Escape)
    assert not window.isVisible()


@pytest.mark.parametrize("key", VIEWS)
def test_a_window_opens_by_its_shortcut_from_within_a_field(user: User, key: str) -> None:
    user.window.activateWindow()
    field = user.find("site, place", QLineEdit)
    field.setFocus()
    shortcut = user.window.commands[f"more.{key}"].shortcut()[0]
    QTest.keyClick(field, shortcut.key(), shortcut.keyboardModifiers())
    user.wait_for(lambda: key in user.window.views.windows)
    assert user.window.views.windows[key].isVisible()


@pytest.mark.parametrize("key", VIEWS)
def test_everything_in_a_window_that_takes_the_keyboard_has_a_name(user: User, key: str) -> None:
    window = opened(user, key)
    kinds = (
        QLineEdit, QComboBox, QAbstractButton, QPlainTextEdit, QTableView, QAbstractSpinBox
    )  # fmt: skip
    nameless = [
        f"{type(each).__name__} in {type(each.parentWidget()).__name__}"
        for each in window.findChildren(QWidget)
        if isinstance(each, kinds)
        and each.isVisible()
        and each.focusPolicy() & Qt.FocusPolicy.TabFocus
        and not isinstance(each.parentWidget(), QAbstractSpinBox)
        and not each.accessibleName()
        and not (isinstance(each, QAbstractButton) and each.text())
    ]
    assert nameless == []


@pytest.mark.parametrize("key", VIEWS)
@pytest.mark.parametrize("percent", [100, 150])
def test_a_window_fits_a_small_screen(user: User, key: str, percent: int) -> None:
    user.window.display.set_text_percent(percent)
    window = opened(user, key)
    least = window.minimumSizeHint()
    assert least.width() <= 1280
    assert least.height() <= 760


def test_only_a_window_that_is_seen_follows_an_edit(user: User) -> None:
    window = opened(user, "bench")
    window.close()
    shown = []
    window.view.show_comparison = shown.append  # type: ignore[method-assign]
    user.fill("site, place", "Elsewhere")
    QTest.qWait(400)
    assert shown == []
    user.choose("More", VIEWS["bench"])
    assert [each.scenario.site.name for each in shown] == ["Elsewhere"]


def test_a_window_stands_where_it_stood(user: User) -> None:
    window = opened(user, "leads")
    window.setGeometry(30, 40, 500, 420)
    window.close()
    QCoreApplication.sendPostedEvents(None, QEvent.Type.DeferredDelete)
    assert opened(user, "leads").size().width() == 500
    assert user.window.views.windows["leads"].size().height() == 420


def test_undo_works_from_a_window_beside(user: User) -> None:
    before = scenario_of(user)
    user.fill("site, place", "Elsewhere")
    window = opened(user, "leads")
    QTest.keyClick(window, Qt.Key.Key_Z, Qt.KeyboardModifier.ControlModifier)
    assert scenario_of(user) == before


def test_a_cure_of_the_leads_is_one_step(user: User) -> None:
    user.window.document.edit("stations.0.leads.0.one_way_m", 9.0)
    user.settle()
    before = scenario_of(user)
    window = opened(user, "leads")
    leads = window.view.leads  # type: ignore[attr-defined]
    user.wait_for(lambda: bool(leads.cures.cures))
    words = [each for each in window.findChildren(QAbstractButton) if each.text() == "Apply"]
    QTest.mouseClick(words[0], Qt.MouseButton.LeftButton)
    changed = scenario_of(user)
    assert changed.stations[0].leads != before.stations[0].leads
    assert changed.stations[1] == before.stations[1]
    follow(user, window)
    user.window.document.undo_stack.undo()
    assert scenario_of(user) == before


def test_the_leads_follow_the_minute_that_the_day_reads_out(user: User) -> None:
    window = opened(user, "leads")
    pick(window, "moment", "at the minute pointed at")
    leads = window.view.leads  # type: ignore[attr-defined]
    first = leads.chain()
    user.window.day.chart.setFocus()
    for _ in range(12):
        QTest.keyClick(user.window.day.chart, Qt.Key.Key_PageDown)
    assert user.window.day.cursor_minute == 720
    assert leads.chain() != first


def test_the_leads_are_of_the_station_the_keyboard_is_in(user: User) -> None:
    user.find("station 2, name", QLineEdit).setFocus()
    window = opened(user, "leads")
    assert window.view.station.station == 1  # type: ignore[attr-defined]
    pick(window, "station whose leads are shown", scenario_of(user).stations[0].name)
    assert window.view.leads._index == 0  # type: ignore[attr-defined]


def test_a_closed_window_ends_its_work(user: User) -> None:
    window = opened(user, "leads")
    jobs = window.view.leads.cures._jobs  # type: ignore[attr-defined]
    user.wait_for(lambda: jobs.is_running)
    QTest.keyClick(window, Qt.Key.Key_Escape)
    assert jobs._pool.activeThreadCount() == 0
    again = opened(user, "leads")
    cures = again.view.leads.cures  # type: ignore[attr-defined]
    user.wait_for(lambda: "No change" in cures.state.text())


def test_closing_the_main_window_closes_all(open_window: Callable[..., User]) -> None:
    user = open_window()
    windows = [opened(user, key) for key in VIEWS]
    assert all(window.isVisible() for window in windows)
    ghosts = [weakref.ref(window) for window in windows]
    main = weakref.ref(user.window)
    del windows
    user.window.close()
    user.window.deleteLater()
    del user
    QCoreApplication.sendPostedEvents(None, QEvent.Type.DeferredDelete)
    gc.collect()
    assert main() is None
    assert [ghost() for ghost in ghosts if ghost() is not None] == []
    assert not [each for each in QApplication.topLevelWidgets() if isinstance(each, ViewWindow)]


@pytest.mark.parametrize("key", VIEWS)
def test_opening_and_closing_a_window_many_times_leaves_one_at_most(user: User, key: str) -> None:
    for _ in range(20):
        user.window.views.open(key).close()
        QCoreApplication.sendPostedEvents(None, QEvent.Type.DeferredDelete)
    gc.collect()
    left = [each for each in user.window.findChildren(ViewWindow) if each.key == key]
    assert len(left) <= 1
    assert isinstance(user.window, MainWindow)


def test_the_way_of_the_sun_is_drawn_once_the_horizon_is_seen(user: User) -> None:
    assert user.window.horizon._paths == ()
    user.click("More of the place")
    (path,) = user.window.horizon._paths
    assert len(path[0]) == 1440
    user.fill("day, date", "2027-12-21")
    (winter,) = user.window.horizon._paths
    assert winter[1].max() < path[1].max()


def test_leaving_the_row_of_a_block_ends_the_undo_step(user: User) -> None:
    user.choose("Go", "Plan")
    user.window.plan.choose(1)
    note = user.window.plan.editor.cell("note").focusProxy() or user.find("note", QLineEdit)
    before = user.window.document.undo_stack.count()
    for text in ("one", "two"):
        note.setFocus()
        QTest.keyClick(note, Qt.Key.Key_A, Qt.KeyboardModifier.ControlModifier)
        QTest.keyClicks(note, text)
        user.find("site, place", QLineEdit).setFocus()
    assert user.window.document.undo_stack.count() == before + 2


def test_a_picture_of_the_day_is_copied_and_saved(
    user: User, monkeypatch: pytest.MonkeyPatch, tmp_path: Path
) -> None:
    from app import dialogs

    user.choose("Edit", "Copy a picture of the day")
    assert not QApplication.clipboard().image().isNull()
    for name, start in (("day.png", b"\x89PNG"), ("day.svg", b"<?xml")):
        monkeypatch.setattr(dialogs, "ask_for_export", lambda *_, n=name: tmp_path / n)
        user.choose("File", "Save a picture of the day…")
        assert (tmp_path / name).read_bytes().startswith(start)
        assert user.sees(f"saved to {tmp_path / name}")


def test_a_picture_that_cannot_be_saved_is_told(
    user: User, answers: object, monkeypatch: pytest.MonkeyPatch, tmp_path: Path
) -> None:
    from app import dialogs

    for name in ("day.png", "day.svg"):
        target = tmp_path / "no such folder" / name
        monkeypatch.setattr(dialogs, "ask_for_export", lambda *_, t=target: t)
        user.choose("File", "Save a picture of the day…")
    assert len(answers.said) == 2  # type: ignore[attr-defined]


def test_class_opens_once_and_goes_with_the_main_window(user: User) -> None:
    user.choose("More", "Class")
    window = user.window.views.classroom
    assert window is not None
    user.wait_for(window.isActiveWindow)
    assert "Class" in window.windowTitle()
    user.choose("More", "Class")
    assert user.window.views.classroom is window
    window.close()
    user.choose("More", "Class")
    again = user.window.views.classroom
    assert again is not None
    assert again.isVisible()
    user.window.close()
    assert not again.isVisible()


def test_kit_page_class_and_units_stand_among_the_tools(user: User) -> None:
    tools = [action.objectName() for action in user.window.commands.tools.actions()]
    assert tools[-4:] == ["station.add", "more.kit_page", "more.class", "view.us"]
