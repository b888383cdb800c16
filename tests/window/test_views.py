"""The lenses and the two windows beside, as a person opens, uses and leaves them."""

from __future__ import annotations

import gc
import weakref
from collections.abc import Callable
from pathlib import Path

import pytest
from beside import LENSES, find, follow, leave, library, opened, pick, scenario_of
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

from app.pages.lenses import KINDS, Kind
from app.pages.questions import NAME


@pytest.mark.parametrize("key", LENSES)
def test_a_lens_opens_from_the_menu_with_the_keyboard_in_it(user: User, key: str) -> None:
    lens = opened(user, key)
    focused = user.window.focusWidget()
    assert focused is not None
    at = lens.parentWidget() if lens.view.questions else lens
    assert at is not None
    assert (at.parentWidget() or at).isAncestorOf(focused)
    leave(user)
    assert not lens.isVisible()
    assert user.window.day.isVisible()


@pytest.mark.parametrize("kind", KINDS, ids=lambda kind: kind.key)
def test_a_lens_opens_by_its_number_from_within_a_field(user: User, kind: Kind) -> None:
    user.window.activateWindow()
    field = user.find("station 1, reserve", QLineEdit)
    field.setFocus()
    number = Qt.Key(Qt.Key.Key_1 + KINDS.index(kind))
    QTest.keyClick(field, number, Qt.KeyboardModifier.ControlModifier)
    user.wait_for(lambda: user.window.lenses.current == kind.key)
    if kind.key != "day":
        assert user.sees(kind.answers)
    assert user.window.sheet.isVisible()


@pytest.mark.parametrize("key", LENSES)
def test_everything_in_a_lens_that_takes_the_keyboard_has_a_name(user: User, key: str) -> None:
    assert nameless(opened(user, key)) == []


def test_everything_in_the_library_that_takes_the_keyboard_has_a_name(user: User) -> None:
    assert nameless(library(user)) == []


def nameless(window: QWidget) -> list[str]:
    kinds = (
        QLineEdit, QComboBox, QAbstractButton, QPlainTextEdit, QTableView, QAbstractSpinBox
    )  # fmt: skip
    return [
        f"{type(each).__name__} in {type(each.parentWidget()).__name__}"
        for each in window.findChildren(QWidget)
        if isinstance(each, kinds)
        and each.isVisible()
        and each.focusPolicy() & Qt.FocusPolicy.TabFocus
        and not isinstance(each.parentWidget(), QAbstractSpinBox)
        and not each.accessibleName()
        and not (isinstance(each, QAbstractButton) and each.text())
    ]


def test_only_a_lens_that_is_seen_follows_an_edit(user: User) -> None:
    lens = opened(user, "bench")
    leave(user)
    shown = []
    lens.view.show_comparison = shown.append  # type: ignore[method-assign]
    user.fill("site, place", "Elsewhere")
    QTest.qWait(400)
    assert shown == []
    user.choose("Go", "Field")
    assert [each.scenario.site.name for each in shown] == ["Elsewhere"]


def test_a_lens_comes_back_as_it_was_left(user: User) -> None:
    lens = opened(user, "kit_page")
    pick(lens, "results on the pages", "left blank to be guessed")
    leave(user)
    again = opened(user, "kit_page")
    assert again is lens
    assert again.view.results.currentText() == "left blank to be guessed"  # type: ignore[attr-defined]


def test_undo_works_from_a_lens(user: User) -> None:
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


def test_a_lens_that_is_left_ends_its_work(user: User) -> None:
    window = opened(user, "leads")
    jobs = window.view.leads.cures._jobs  # type: ignore[attr-defined]
    user.wait_for(lambda: jobs.is_running)
    leave(user)
    # It is told to stop and not waited for: it looks up between two runs.
    user.wait_for(lambda: jobs._pool.activeThreadCount() == 0)
    assert not jobs.is_running
    again = opened(user, "leads")
    assert again is window
    user.wait_for(lambda: "No change" in again.view.leads.cures.state.text())  # type: ignore[attr-defined]


def test_closing_the_main_window_closes_all(open_window: Callable[..., User]) -> None:
    user = open_window()
    lenses = [opened(user, key) for key in LENSES]
    beside = library(user)
    ghosts = [weakref.ref(each) for each in (*lenses, beside)]
    main = weakref.ref(user.window)
    del lenses, beside
    user.window.close()
    user.window.deleteLater()
    del user
    QCoreApplication.sendPostedEvents(None, QEvent.Type.DeferredDelete)
    gc.collect()
    assert main() is None
    assert [ghost() for ghost in ghosts if ghost() is not None] == []


def test_the_way_of_the_sun_is_drawn_once_the_horizon_is_seen(user: User) -> None:
    assert user.window.horizon._paths == ()
    user.choose("Go", "Place and day")
    (path,) = user.window.horizon._paths
    assert len(path[0]) == 1440
    user.fill("day, date", "2027-12-21")
    (winter,) = user.window.horizon._paths
    assert winter[1].max() < path[1].max()


def test_leaving_the_row_of_a_block_ends_the_undo_step(user: User) -> None:
    user.choose("Go", "Plan")
    user.window.plan.choose(1)
    user.window.plan.edit()
    note = user.window.plan.editor.cell("note").focusProxy() or user.find("note", QLineEdit)
    before = user.window.document.undo_stack.count()
    for text in ("one", "two"):
        user.window.plan.edit("note")
        QTest.keyClick(note, Qt.Key.Key_A, Qt.KeyboardModifier.ControlModifier)
        QTest.keyClicks(note, text)
        user.find("site, place", QLineEdit).setFocus()
    assert user.window.document.undo_stack.count() == before + 2


def test_a_picture_of_the_day_is_copied_and_saved(
    user: User, monkeypatch: pytest.MonkeyPatch, tmp_path: Path
) -> None:
    from app.widgets import dialogs

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
    from app.widgets import dialogs

    for name in ("day.png", "day.svg"):
        target = tmp_path / "no such folder" / name
        monkeypatch.setattr(dialogs, "ask_for_export", lambda *_, t=target: t)
        user.choose("File", "Save a picture of the day…")
    assert len(answers.said) == 2  # type: ignore[attr-defined]


def test_class_opens_once_and_goes_with_the_main_window(user: User) -> None:
    user.choose("View", "Class")
    window = user.window.views.classroom
    assert window is not None
    user.wait_for(window.isActiveWindow)
    assert "Class" in window.windowTitle()
    user.choose("View", "Class")
    assert user.window.views.classroom is window
    window.close()
    user.choose("View", "Class")
    again = user.window.views.classroom
    assert again is not None
    assert again.isVisible()
    user.window.close()
    assert not again.isVisible()


@pytest.mark.parametrize("key", ["sizing", "field_check"])
def test_each_question_of_a_lens_is_chosen_with_the_keyboard(user: User, key: str) -> None:
    lens = opened(user, key)
    choice = find(user.window, NAME, QComboBox)
    assert isinstance(choice, QComboBox)
    seen = set()
    for row in range(choice.count()):
        choice.setFocus()
        QTest.keyClick(choice, Qt.Key.Key_Home)
        for _ in range(row):
            QTest.keyClick(choice, Qt.Key.Key_Down)
        assert choice.currentIndex() == row
        made = user.window.lenses.made
        (shown,) = [each for each in made.values() if each.isVisible() and each.view.questions]
        seen.add((shown.key, shown.view.question))
    assert len(seen) == choice.count()
    views = {key for key, _ in seen}
    assert key in views
    assert len(seen) == sum(len(user.window.lenses.made[view].view.questions) for view in views)
    lens.view.stop()


def test_a_finding_at_a_variant_leads_to_the_question_about_variants(user: User) -> None:
    opened(user, "sizing")
    user.window.ways.jump_to("variants.0.name")
    choice = find(user.window, NAME, QComboBox)
    assert isinstance(choice, QComboBox)
    assert choice.currentText().startswith("Variants")
