"""Everything can be reached: by menu, by shortcut, by keyboard alone, and by its spoken name."""

from __future__ import annotations

import gc
import weakref
from collections.abc import Callable

import pytest
from PySide6.QtCore import QCoreApplication, QEvent, Qt
from PySide6.QtGui import QAction
from PySide6.QtWidgets import (
    QAbstractButton,
    QApplication,
    QComboBox,
    QLabel,
    QLineEdit,
    QPlainTextEdit,
    QTableView,
    QWidget,
)
from user import User

from app.editors.fields.editor import FieldEditor
from app.widgets.actions import COMMANDS
from app.widgets.tokens import dark_palette

PARTS = (
    "Radio", "Amplifier", "Tuner", "Antenna", "Computer", "Battery", "Controller", "Panel",
    "Leads", "Chargers", "Extras",
)  # fmt: skip


def menu_actions(user: User) -> list[QAction]:
    return [
        action
        for top in user.window.top.menus.actions()
        for action in top.menu().actions()  # type: ignore[attr-defined]
        if not action.isSeparator() and action.menu() is None
    ]


def test_every_command_stands_in_a_menu_with_shortcut_and_tip(user: User) -> None:
    actions = menu_actions(user)
    assert {action.objectName() for action in actions} == {command.key for command in COMMANDS}
    shortcuts = [action.shortcut().toString() for action in actions]
    assert "" not in shortcuts
    assert len(set(shortcuts)) == len(shortcuts)
    assert all(action.toolTip() and action.text() for action in actions)


def test_no_menu_uses_one_letter_twice(user: User) -> None:
    for top in user.window.top.menus.actions():
        letters = [
            text[text.index("&") + 1].lower()
            for action in top.menu().actions()  # type: ignore[attr-defined]
            if "&" in (text := action.text())
        ]
        assert len(set(letters)) == len(letters), top.text()


@pytest.mark.parametrize("command", [c.key for c in COMMANDS if c.key.startswith("go.")])
def test_the_keyboard_goes_where_a_command_sends_it(user: User, command: str) -> None:
    user.window.commands[command].trigger()
    focused = user.window.focusWidget()
    assert focused is not None
    area = {
        "go.place": user.window.place, "go.plan": user.window.plan,
        "go.stations": user.window.sheet, "go.day": user.window.day,
        "go.table": user.window.verdict.results, "go.findings": user.window.foot.list,
    }[command]  # fmt: skip
    assert focused is area or area.isAncestorOf(focused)


def open_all(user: User) -> None:
    user.window.place_sheet.open_sheet()
    for part in PARTS:
        user.open(1, part)
    for title in ("Lead 1", "Lead 2", "Extra 1"):
        user.open(1, title)


def test_everything_that_takes_the_keyboard_has_a_name(user: User) -> None:
    open_all(user)
    kinds = (QLineEdit, QComboBox, QAbstractButton, QPlainTextEdit, QTableView)
    nameless = [
        f"{type(widget).__name__} in {type(widget.parentWidget()).__name__}"
        for widget in user.window.findChildren(QWidget)
        if isinstance(widget, kinds)
        and widget.isVisible()
        and widget.focusPolicy() & Qt.FocusPolicy.TabFocus
        and not widget.accessibleName()
        and not (isinstance(widget, QAbstractButton) and widget.text())
    ]
    assert nameless == []


def test_no_two_fields_share_a_name(user: User) -> None:
    open_all(user)
    user.choose("Go", "Place and day")
    user.let_appear()
    names = [
        editor.focusProxy().accessibleName()
        for editor in user.window.findChildren(FieldEditor)
        if editor.isVisible()
    ]
    assert len(names) > 20
    assert len(set(names)) == len(names)
    sheet = user.window.sheet.sheet
    places = [place for place, row in enumerate(sheet.rows) if row.kind == "field"]
    aloud = [
        str(sheet.index(place, column).data(Qt.ItemDataRole.AccessibleTextRole))
        for place in places
        for column in range(2)
    ]
    assert len(aloud) > 150
    assert len(set(aloud)) == len(aloud)


def test_a_cell_says_station_field_value_unit_and_source(user: User) -> None:
    user.window.document.edit("stations.0.name", "Low power")
    user.open(1, "Battery")
    index = user.cell("station 1, battery, rated capacity")
    assert index is not None
    aloud = str(index.data(Qt.ItemDataRole.AccessibleTextRole)).replace("\xa0", " ")
    assert aloud.startswith("A Low power: Battery, rated capacity, 15 Ah, a guess")


def test_every_field_carries_its_path_and_its_help(user: User) -> None:
    open_all(user)
    for editor in user.window.findChildren(FieldEditor):
        assert editor.objectName() == editor.path
        if editor.facts.help:
            tip = editor.focusProxy().toolTip()
            assert tip.startswith("<qt>")
            assert "<b>" not in tip


def test_tab_passes_the_sheet_once_and_comes_round(user: User) -> None:
    user.choose("Go", "Stations")
    first = user.window.focusWidget()
    assert first is user.window.sheet
    passed = []
    for _ in range(400):
        user.window.focusNextChild()
        focused = user.window.focusWidget()
        passed.append(focused)
        if focused is first:
            break
    assert passed.count(first) == 1
    assert user.window.verdict.results in passed


def test_tab_passes_every_field_of_place_and_day_and_then_closes_them(user: User) -> None:
    user.choose("Go", "Place and day")
    wanted = fields_in(user.window.place)
    assert len(wanted) > 6
    passed = []
    while user.window.place_sheet.isVisible():
        passed.append(user.window.focusWidget())
        user.window.focusNextChild()
    assert wanted <= set(passed)


def fields_in(widget: QWidget) -> set[QWidget | None]:
    return {
        editor.focusProxy() for editor in widget.findChildren(FieldEditor) if editor.isVisible()
    }


def test_labels_read_text_and_never_markup(user: User) -> None:
    open_all(user)
    user.fill("station 1, name", "<i>x</i>")
    rich = [
        label.text()
        for label in user.window.findChildren(QLabel)
        # The headline marks its moment in the model's own words; a name's "<" is never markup.
        if label.textFormat() != Qt.TextFormat.PlainText and "<i>" in label.text()
    ]
    assert rich == []


def test_tips_read_text_and_never_markup(user: User) -> None:
    user.open(1, "Radio")
    user.fill("station 1, radio, name", "<b>loud</b> & <i>clear</i>")
    sheet = user.window.sheet.sheet
    asked = [sheet.index(place, 0).data(Qt.ItemDataRole.ToolTipRole) for place in range(20)]
    tips = [str(tip) for tip in asked if tip and "loud" in tip]
    assert tips
    assert [tip for tip in tips if "<b>" in tip] == []


def test_an_ampersand_in_a_name_stands_in_the_undo_entry(user: User) -> None:
    user.fill("station 1, name", "A & B")
    user.find("station 1, name")
    user.choose("Station", "Duplicate")
    assert "A && B" in user.window.commands["edit.undo"].text()


def test_text_grows_and_shrinks_and_the_font_is_given_back(user: User, qapp: QApplication) -> None:
    usual = qapp.font().pointSizeF()
    for _ in range(12):
        user.window.commands["view.larger"].trigger()
    assert qapp.font().pointSizeF() == pytest.approx(2 * usual)
    for _ in range(12):
        user.window.commands["view.smaller"].trigger()
    assert qapp.font().pointSizeF() == pytest.approx(0.8 * usual)
    user.window.close()
    assert qapp.font().pointSizeF() == pytest.approx(usual)


def test_a_dark_palette_is_followed_while_the_window_is_open(
    user: User, qapp: QApplication
) -> None:
    def lightness() -> int:
        image = user.window.verdict.grab().toImage()
        return image.pixelColor(2, image.height() - 3).lightness()

    def of_the_sheet() -> int:
        image = user.window.sheet.grab().toImage()
        return image.pixelColor(image.width() // 2, 40).lightness()

    assert lightness() > 200
    assert of_the_sheet() > 200
    qapp.setPalette(dark_palette())
    QCoreApplication.processEvents()
    assert lightness() < 60
    assert of_the_sheet() < 60


def test_a_closed_window_leaves_nothing_behind(open_window: Callable[..., User]) -> None:
    user = open_window()
    sheet = user.window.sheet
    ghosts = [weakref.ref(each) for each in (user.window, sheet, sheet.sheet, sheet.doing)]
    user.open(1, "Radio")
    user.fill("station 1, radio, receive current", "0.2")
    user.window.close()
    user.window.deleteLater()
    del user, sheet
    QCoreApplication.sendPostedEvents(None, QEvent.Type.DeferredDelete)
    gc.collect()
    assert [ghost() for ghost in ghosts] == [None] * len(ghosts)


def test_opening_and_closing_many_windows_leaves_none(
    open_window: Callable[..., User], qapp: QApplication
) -> None:
    before = len(qapp.topLevelWidgets())
    for _ in range(5):
        user = open_window()
        user.window.close()
        user.window.deleteLater()
        QCoreApplication.sendPostedEvents(None, QEvent.Type.DeferredDelete)
        del user
    gc.collect()
    assert len(qapp.topLevelWidgets()) <= before
