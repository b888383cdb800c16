"""Finding and using things in the lenses, the parts library among them."""

from __future__ import annotations

from PySide6.QtCore import Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QAbstractButton, QComboBox, QLabel, QLineEdit, QPlainTextEdit, QWidget
from user import User

from app.pages.field.check.page import FieldCheckPage
from app.pages.kit_page.page import KitPage
from app.pages.lens import Lens
from model.scenario.scenario import Scenario

# The lens of each view, as the menu has it.
LENSES = {
    "odds": "Odds", "sizing": "Size", "leads": "Wiring", "signals": "Signal",
    "kit_page": "Page", "bench": "Field", "field_check": "Field",
}  # fmt: skip


def opened(user: User, key: str) -> Lens:
    """Look through a lens by the menu, and wait until it shows the run."""
    user.choose("Go", LENSES[key])
    lens = user.window.lenses.made[key]
    if not lens.isVisible():
        user.window.lenses.open(key)
    follow(user, lens)
    return lens


def library(user: User) -> Lens:
    """Open the parts library from the menu."""
    user.choose("Station", "Parts library")
    lens = user.window.lenses.made["library"]
    follow(user, lens)
    return lens


def leave(user: User) -> None:
    """Look at the day again."""
    user.choose("Go", "Day")


def follow(user: User, lens: Lens) -> None:
    user.settle()
    user.wait_for(lambda: not lens._feed.is_waiting)
    if isinstance(lens.view, KitPage):
        user.wait_for(lambda: lens.view.is_settled)
    if isinstance(lens.view, FieldCheckPage):
        user.wait_for(lambda: lens.view.check.is_settled)
    user.let_appear()


def find(window: QWidget, name: str, kind: type[QWidget]) -> QWidget:
    found = [
        each
        for each in window.findChildren(kind)
        if each.isVisible()
        and (
            each.accessibleName() == name
            or (isinstance(each, QAbstractButton) and each.text().replace("&", "") == name)
        )
    ]
    assert len(found) == 1, f"{name!r} is there {len(found)} times"
    return found[0]


def press(window: QWidget, name: str) -> None:
    button = find(window, name, QAbstractButton)
    assert button.isEnabled(), name
    QTest.mouseClick(button, Qt.MouseButton.LeftButton)


def fill(window: QWidget, name: str, text: str) -> None:
    line = find(window, name, QLineEdit)
    line.setFocus()
    QTest.keyClick(line, Qt.Key.Key_A, Qt.KeyboardModifier.ControlModifier)
    QTest.keyClicks(line, text)


def pick(window: QWidget, name: str, words: str) -> None:
    box = find(window, name, QComboBox)
    assert isinstance(box, QComboBox)
    row = next(row for row in range(box.count()) if words in box.itemText(row))
    box.setCurrentIndex(row)
    box.activated.emit(row)


def words_on(window: QWidget) -> str:
    labels = [each.text() for each in window.findChildren(QLabel) if each.isVisible()]
    texts = [each.toPlainText() for each in window.findChildren(QPlainTextEdit) if each.isVisible()]
    return "\n".join(labels + texts)


def scenario_of(user: User) -> Scenario:
    return user.window.document.scenario
