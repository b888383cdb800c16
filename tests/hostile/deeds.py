"""What a clumsy person may do to a window: found by the class of the widgets, never by name.

So it fits any window. Each deed holds all its chances: done again, it does the same where the
window is the same.
"""

from __future__ import annotations

import random
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from PySide6.QtCore import QEvent, QMimeData, QPoint, QPointF, Qt, QTimer, QUrl
from PySide6.QtGui import QAction, QContextMenuEvent, QDropEvent, QKeyEvent
from PySide6.QtPrintSupport import QPrintDialog
from PySide6.QtTest import QTest
from PySide6.QtWidgets import (
    QAbstractButton,
    QAbstractItemView,
    QApplication,
    QComboBox,
    QDialog,
    QFileDialog,
    QLineEdit,
    QMainWindow,
    QMenu,
    QPlainTextEdit,
    QTabBar,
    QTableView,
    QWidget,
)

KINDS = (
    ["click"] * 8 + ["type"] * 8 + ["menu"] * 6 + ["pick"] * 3 + ["key"] * 4 + ["row"] * 2
    + ["cell"] * 6
    + ["tab", "close", "drop", "context", "point"]
)  # fmt: skip
TEXTS = (
    "", "0", "12", "-3", "1e9", "nan", "7,5", "13.8 V", "x" * 300, "2027-06-12", "24:00", "99:99",
    "ridge v1.2", "<b>bold</b> &amp; [*]", "שלום 📻", "a\u202eb", "0.1 0.2 0.3", "²", "500 mA",
)  # fmt: skip
KEYS = (
    Qt.Key.Key_Escape, Qt.Key.Key_Tab, Qt.Key.Key_Return, Qt.Key.Key_Up, Qt.Key.Key_Down,
    Qt.Key.Key_PageDown, Qt.Key.Key_PageUp, Qt.Key.Key_Delete, Qt.Key.Key_Space, Qt.Key.Key_F5,
)  # fmt: skip
COMMANDS = (Qt.Key.Key_Z, Qt.Key.Key_Y, Qt.Key.Key_S, Qt.Key.Key_W)
# What is typed into a file dialog, below the folder of the run; None waves the dialog away.
NAMES = (
    None, None, "kit.toml", "kit", "ridge v1.2", "y" * 300, "folder", "loop.toml",
    "closed/kit.toml", "none/kit.toml", "damaged.toml", "parts.csv", "kit.PDF", "picture.svg",
    "a\tb", "two.toml",
)  # fmt: skip


ANSWER_MS = 15


@dataclass(frozen=True)
class Deed:
    """One thing done, with the seed of all chances in it."""

    kind: str
    seed: int

    def __str__(self) -> str:
        return f"{self.kind} {self.seed}"


def deeds(seed: int) -> Iterator[Deed]:
    """Yield deeds without end."""
    chance = random.Random(seed)
    while True:
        yield Deed(chance.choice(KINDS), chance.randrange(1_000_000))


class Person:
    """Does deeds, and answers whatever dialog or menu opens on the way."""

    def __init__(self, folder: Path, main: QWidget) -> None:
        self._folder, self._main = folder, main
        self._chance = random.Random(0)
        self._answers = 0
        self._is_watching = False

    def do(self, deed: Deed) -> str:
        """Do it; return in words what was done."""
        self._chance = random.Random(deed.seed)
        self._answers = 0
        return str(getattr(self, f"_{deed.kind}")())

    def watch(self) -> None:
        """Answer whatever opens, from now on."""
        self._is_watching = True
        QTimer.singleShot(ANSWER_MS, self._watch)

    def leave(self) -> None:
        """Answer nothing any more."""
        self._is_watching = False

    def _watch(self) -> None:
        if self._is_watching:
            # Before the answer: it may open another dialog and come back only after that.
            QTimer.singleShot(ANSWER_MS, self._watch)
            self.answer()

    def answer(self) -> None:
        """Answer the dialog or menu that waits, if one does."""
        popup = QApplication.activePopupWidget()
        if isinstance(popup, QMenu):
            self._answer_menu(popup)
            return
        if popup is not None:
            popup.close()
            return
        dialog = QApplication.activeModalWidget()
        if dialog is None:
            return
        self._answers += 1
        if self._answers > 12 or isinstance(dialog, QPrintDialog):
            dialog.close()
        elif isinstance(dialog, QFileDialog):
            self._answer_files(dialog)
        else:
            self._answer_dialog(dialog)

    def _answer_menu(self, menu: QMenu) -> None:
        actions = [each for each in menu.actions() if _may_be_done(each)]
        menu.close()
        if actions and self._chance.random() < 0.7:
            self._chance.choice(actions).trigger()

    def _answer_files(self, dialog: QFileDialog) -> None:
        name = self._chance.choice(NAMES)
        lines = dialog.findChildren(QLineEdit)
        if name is None or not lines or self._answers > 3:
            dialog.reject()
            return
        lines[0].setText(str(self._folder / name))
        QTest.keyClick(lines[0], Qt.Key.Key_Return)

    def _answer_dialog(self, dialog: QWidget) -> None:
        buttons = [each for each in dialog.findChildren(QAbstractButton) if _is_live(each)]
        if not buttons or self._chance.random() < 0.3:
            QTest.keyClick(dialog, Qt.Key.Key_Escape)
        else:
            self._chance.choice(buttons).click()

    # The deeds; each says what it did.

    def _of(self, *classes: type[QWidget]) -> Any:
        found = [
            each
            for window in _windows()
            for kind in classes
            for each in window.findChildren(kind)
            if _is_live(each)
        ]
        return self._chance.choice(found) if found else None

    def _click(self) -> str:
        button = self._of(QAbstractButton)
        if button is None:
            return "nothing to click"
        words = f"click {button.accessibleName() or button.text()!r}"
        QTest.mouseClick(button, Qt.MouseButton.LeftButton)
        return words

    def _type(self) -> str:
        field = self._of(QLineEdit, QPlainTextEdit)
        if field is None or field.isReadOnly():
            return "nothing to type in"
        text = self._chance.choice(TEXTS)
        words = f"type {text[:20]!r} into {field.accessibleName()!r}"
        field.setFocus()
        field.selectAll()
        QTest.keyClick(field, Qt.Key.Key_Delete)
        for piece in text if len(text) < 20 else [text]:
            # The test library has keys for the first 128 marks alone.
            press = QKeyEvent(QEvent.Type.KeyPress, 0, Qt.KeyboardModifier.NoModifier, piece)
            QApplication.sendEvent(field, press)
        if self._chance.random() < 0.5:
            QTest.keyClick(field, Qt.Key.Key_Tab)
        return words

    def _menu(self) -> str:
        bars = [each.menuBar() for each in _windows() if isinstance(each, QMainWindow)]
        actions = [action for bar in bars for action in _leaves(bar.actions())]
        if not actions:
            return "no menu"
        action = self._chance.choice(actions)
        words = f"choose {action.text()!r}"
        action.trigger()
        return words

    def _pick(self) -> str:
        box = self._of(QComboBox)
        if box is None or not box.count():
            return "nothing to pick"
        row = self._chance.randrange(box.count())
        words = f"pick {box.itemText(row)!r} in {box.accessibleName()!r}"
        box.setCurrentIndex(row)
        box.activated.emit(row)
        return words

    def _key(self) -> str:
        window = self._chance.choice(_windows())
        target = window.focusWidget() or window
        if self._chance.random() < 0.5:
            key = self._chance.choice(COMMANDS)
            QTest.keyClick(target, key, Qt.KeyboardModifier.ControlModifier)
            return f"press Ctrl+{key.name}"
        key = self._chance.choice(KEYS)
        if window is self._main and target is window and key == Qt.Key.Key_Escape:
            return "nothing to press"
        QTest.keyClick(target, key)
        return f"press {key.name}"

    def _row(self) -> str:
        view = self._of(QAbstractItemView)
        model = view.model() if view is not None else None
        if model is None or not model.rowCount():
            return "no row"
        row = self._chance.randrange(model.rowCount())
        view.setCurrentIndex(model.index(row, 0))
        return f"row {row} of {view.accessibleName()!r}"

    def _cell(self) -> str:
        """Choose a cell of a table anywhere, and type, press, drag or click in it."""
        view = self._of(QTableView)
        model = view.model() if view is not None else None
        if model is None or not model.rowCount() or not model.columnCount():
            return "no cell"
        row = self._chance.randrange(model.rowCount())
        index = model.index(row, self._chance.randrange(model.columnCount()))
        view.setFocus()
        view.setCurrentIndex(index)
        way = self._chance.choice(["type", "press", "drag", "twice", "open"])
        words = f"{way} in row {row} of {view.accessibleName()!r}"
        port, at = view.viewport(), view.visualRect(index).center()
        shift = self._chance.choice(
            [Qt.KeyboardModifier.NoModifier, Qt.KeyboardModifier.ShiftModifier]
        )
        if way == "type":
            for piece in self._chance.choice(TEXTS)[:20]:
                press = QKeyEvent(QEvent.Type.KeyPress, 0, Qt.KeyboardModifier.NoModifier, piece)
                QApplication.sendEvent(self._main.focusWidget() or view, press)
        elif way == "drag":
            QTest.mousePress(port, Qt.MouseButton.LeftButton, shift, at)
            for step in (3, 9, self._chance.randrange(-300, 300)):
                QTest.mouseMove(port, at + QPoint(step, 0))
            QTest.mouseRelease(port, Qt.MouseButton.LeftButton, shift, at)
        elif way == "twice":
            QTest.mouseDClick(port, Qt.MouseButton.LeftButton, shift, at)
        elif way == "open":
            QTest.keyClick(view, Qt.Key.Key_Down, Qt.KeyboardModifier.AltModifier)
        target = self._main.focusWidget()
        if target is not None and self._chance.random() < 0.7:
            QTest.keyClick(target, self._chance.choice(KEYS), shift)
        return words

    def _tab(self) -> str:
        bar = self._of(QTabBar)
        if bar is None or not bar.count():
            return "no tab"
        bar.setCurrentIndex(self._chance.randrange(bar.count()))
        return f"tab {bar.currentIndex()}"

    def _close(self) -> str:
        others = [each for each in _windows() if each is not self._main]
        if not others:
            return "nothing to close"
        window = self._chance.choice(others)
        words = f"close {window.windowTitle()!r}"
        window.close()
        return words

    def _drop(self) -> str:
        name = self._chance.choice([*(each for each in NAMES if each), "nul\0.toml"])
        data = QMimeData()
        data.setUrls([QUrl.fromLocalFile(f"{self._folder}/{name}")])
        event = QDropEvent(
            QPointF(9, 9), Qt.DropAction.CopyAction, data, Qt.MouseButton.LeftButton,
            Qt.KeyboardModifier.NoModifier,
        )  # fmt: skip
        self._main.dropEvent(event)
        return f"drop {name[:20]!r}"

    def _context(self) -> str:
        widget = self._of(QWidget)
        if widget is None:
            return "nothing"
        at = widget.rect().center()
        QApplication.sendEvent(
            widget,
            QContextMenuEvent(QContextMenuEvent.Reason.Mouse, at, widget.mapToGlobal(at)),
        )
        return f"context menu of {type(widget).__name__}"

    def _point(self) -> str:
        widget = self._of(QWidget)
        if widget is None or widget.width() < 2 or widget.height() < 2:
            return "nothing to point at"
        spots = [
            QPoint(self._chance.randrange(widget.width()), self._chance.randrange(widget.height()))
            for _ in range(2)
        ]
        QTest.mousePress(widget, Qt.MouseButton.LeftButton, pos=spots[0])
        QTest.mouseMove(widget, spots[1])
        QTest.mouseRelease(widget, Qt.MouseButton.LeftButton, pos=spots[1])
        return f"drag on {type(widget).__name__}"


def _windows() -> list[QWidget]:
    """Return the windows seen, in an order that is the same in each run."""
    seen = [
        each
        for each in QApplication.topLevelWidgets()
        if each.isVisible() and each.windowTitle() and not isinstance(each, QMenu | QDialog)
    ]
    return sorted(seen, key=lambda each: (type(each).__name__, each.objectName()))


def _is_live(widget: QWidget) -> bool:
    return widget.isVisible() and widget.isEnabled() and not isinstance(widget.window(), QMenu)


def _may_be_done(action: QAction) -> bool:
    is_end = "quit" in action.text().replace("&", "").casefold()
    may = action.isEnabled() and not action.isSeparator() and not is_end
    # Asked of the action itself, Python's hold on the menu would end with that on the action.
    return may and QMenu.menuInAction(action) is None


def _leaves(actions: list[QAction]) -> Iterator[QAction]:
    for action in actions:
        menu = QMenu.menuInAction(action)
        if isinstance(menu, QMenu):
            menu.aboutToShow.emit()
            yield from _leaves(menu.actions())
        elif _may_be_done(action):
            yield action
