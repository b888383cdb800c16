"""A person at the window: knows what is written on it, and nothing of how it is made."""

from __future__ import annotations

from collections.abc import Callable

from PySide6.QtCore import Qt
from PySide6.QtGui import QAction
from PySide6.QtTest import QTest
from PySide6.QtWidgets import (
    QAbstractButton,
    QApplication,
    QComboBox,
    QLabel,
    QLineEdit,
    QMenu,
    QToolButton,
    QWidget,
)
from pytestqt.qtbot import QtBot

from app.main_window import MainWindow
from tests.plain import plain

SETTLED_MS = 30_000


class User:
    """Finds things by their words, and uses mouse and keyboard."""

    def __init__(self, window: MainWindow, qtbot: QtBot) -> None:
        self.window = window
        self.qtbot = qtbot

    # Looking.

    def sees(self, words: str) -> bool:
        """Whether these words stand anywhere in sight."""
        return any(plain(words) in plain(text) for text in self.visible_texts())

    def visible_texts(self) -> list[str]:
        """Everything that is written on the window."""
        texts = []
        for widget in self.window.findChildren(QWidget):
            if not widget.isVisible():
                continue
            for name in ("text", "words", "currentText"):
                read = getattr(widget, name, None)
                if read is not None:
                    texts.append(str(read() if callable(read) else read))
            if isinstance(widget, QAbstractButton):
                texts.append(widget.accessibleName())
        return texts

    def find(self, name: str, kind: type[QWidget] = QWidget) -> QWidget:
        """Return the one thing in sight that is called so; place and day are opened for it."""
        if name in self._names_of_the_place():
            self.window.place_sheet.open_sheet()
        found = [
            widget
            for widget in self.window.findChildren(kind)
            if widget.isVisible() and name in (widget.accessibleName(), _text_of(widget))
        ]
        assert len(found) == 1, f"{name!r} stands {len(found)} times on the window"
        return found[0]

    def _names_of_the_place(self) -> set[str]:
        """What the sheet of place and day would show if it were open."""
        place = self.window.place
        return {
            words
            for widget in place.findChildren(QWidget)
            if widget.isVisibleTo(place)
            for words in (widget.accessibleName(), _text_of(widget))
            if words
        }

    def reads(self, name: str) -> str:
        """Return what stands in a field."""
        field = self.find(name)
        if isinstance(field, QComboBox):
            return field.currentText()
        assert isinstance(field, QLineEdit)
        return field.text()

    def note_under(self, name: str) -> str:
        """Return the sentences under a field."""
        parent = self.find(name).parentWidget()
        assert parent is not None
        labels = [label for label in parent.findChildren(QLabel) if label.isVisible()]
        return plain("\n".join(label.text() for label in labels if label.text()[:1] in "✕▲•"))

    # Doing.

    def fill(self, name: str, text: str, *, leave: bool = True) -> None:
        """Select what stands in a field, type something else, and go on to the next."""
        field = self.find(name, QLineEdit)
        field.setFocus()
        QTest.keyClick(field, Qt.Key.Key_A, Qt.KeyboardModifier.ControlModifier)
        if text:
            QTest.keyClicks(field, text)
        else:
            QTest.keyClick(field, Qt.Key.Key_Delete)
        if leave:
            QTest.keyClick(field, Qt.Key.Key_Tab)
        self.settle()

    def pick(self, name: str, choice: str) -> None:
        """Choose a word from a list."""
        box = self.find(name, QComboBox)
        index = box.findText(choice)
        assert index >= 0, f"{name} does not offer {choice!r}"
        box.setCurrentIndex(index)
        box.activated.emit(index)
        self.settle()

    def open(self, station: int, title: str) -> None:
        """Open the line of a part of a station, counted from 1."""
        button = self._line(station, title)
        if not button.isChecked():
            QTest.mouseClick(button, Qt.MouseButton.LeftButton)
        self.settle()

    def line(self, station: int, title: str) -> str:
        """Return what the line of a part says."""
        return plain(self._line(station, title).accessibleName())

    def _line(self, station: int, title: str) -> QAbstractButton:
        column = self.window.stations.columns[station - 1]
        found = [
            button
            for button in column.findChildren(QToolButton)
            if button.isCheckable() and button.text() == title and button.isVisible()
        ]
        assert len(found) == 1, f"station {station} has {len(found)} lines {title!r}"
        return found[0]

    def click(self, name: str) -> None:
        """Click a button."""
        QTest.mouseClick(self.find(name, QAbstractButton), Qt.MouseButton.LeftButton)
        self.settle()

    def choose(self, *titles: str) -> None:
        """Choose an entry of the menu bar."""
        self.action(*titles).trigger()
        self.settle()

    def action(self, *titles: str) -> QAction:
        """Return an entry of the menu bar."""
        actions = self.window.top.menus.actions()
        for title in titles[:-1]:
            menu = _named(actions, title).menu()
            assert isinstance(menu, QMenu)
            actions = menu.actions()
        return _named(actions, titles[-1])

    def choose_from(self, menu: QMenu, title: str) -> None:
        """Choose an entry of a menu that is open."""
        _named(menu.actions(), title).trigger()
        menu.close()
        self.settle()

    def press(self, key: Qt.Key, modifier: Qt.KeyboardModifier | None = None) -> None:
        """Press a key where the keyboard is."""
        target = self.window.focusWidget() or self.window
        QTest.keyClick(target, key, modifier or Qt.KeyboardModifier.NoModifier)
        self.settle()

    def settle(self) -> None:
        """Wait until curves and words follow the last change."""
        self.wait_for(self._follows)
        self.let_appear()

    def settle_all(self) -> None:
        """Wait for the advice too."""
        self.wait_for(lambda: self.window.session.is_settled)

    def let_appear(self) -> None:
        """Let Qt show what was just put into a layout: it does so at the next turn of its loop."""
        QApplication.processEvents()

    def wait_for(self, happened: Callable[[], bool]) -> None:
        """Wait until something is so."""
        self.qtbot.waitUntil(happened, timeout=SETTLED_MS)

    def _follows(self) -> bool:
        comparison = self.window.session.comparison
        return (
            comparison is not None
            and comparison.scenario is self.window.document.scenario
            and not self.window.session.is_waiting_for_words
        )


def _text_of(widget: QWidget) -> str:
    if isinstance(widget, QAbstractButton):
        return widget.text().replace("&", "")
    return ""


def _named(actions: list[QAction], title: str) -> QAction:
    for action in actions:
        if action.text().replace("&", "").split("\t")[0] == title:
            return action
    raise AssertionError(f"no {title!r} among {[action.text() for action in actions]}")
