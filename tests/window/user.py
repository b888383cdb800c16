"""A person at the window: knows what is written on it, and nothing of how it is made."""

from __future__ import annotations

from collections.abc import Callable

from PySide6.QtCore import QModelIndex, QPoint, Qt
from PySide6.QtGui import QAction, QContextMenuEvent
from PySide6.QtTest import QTest
from PySide6.QtWidgets import (
    QAbstractButton,
    QApplication,
    QComboBox,
    QLabel,
    QLineEdit,
    QMenu,
    QWidget,
)
from pytestqt.qtbot import QtBot

from app.main_window import MainWindow
from model.editing.field_facts import LETTERS, describe
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
        sheet = self.window.sheet.sheet
        texts = [row.label for row in sheet.rows] if self.window.sheet.isVisible() else []
        for place in range(sheet.rowCount() if texts else 0):
            for column in range(sheet.columnCount()):
                index = sheet.index(place, column)
                texts += [
                    str(index.data() or ""),
                    str(index.data(Qt.ItemDataRole.AccessibleTextRole) or ""),
                ]
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
        """Return the one thing in sight that is called so; place and day are opened for it.

        A cell of the sheet is chosen; what is found is the sheet, or the line to type in where one
        is asked for.
        """
        index = self.cell(name)
        if index is not None:
            return self._at_cell(index, kind)
        if name in self._names_of_the_place():
            self.window.place_sheet.open_sheet()
        found = [
            widget
            for widget in self.window.findChildren(kind)
            if widget.isVisible() and name in (widget.accessibleName(), _text_of(widget))
        ]
        assert len(found) == 1, f"{name!r} stands {len(found)} times on the window"
        return found[0]

    def cell(self, name: str) -> QModelIndex | None:
        """Return the cell of the sheet that is in sight and called so."""
        sheet = self.window.sheet.sheet
        for place, row in enumerate(sheet.rows):
            for column in range(sheet.columnCount()):
                path = f"stations.{column}.{row.key}"
                if row.kind in ("field", "name") and describe(path) == name:
                    return sheet.index(place, column)
        return None

    def chosen(self) -> str:
        """Return what the cell is called that the keyboard is in."""
        view = self.window.sheet
        assert view.hasFocus()
        index = view.currentIndex()
        return describe(f"stations.{index.column()}.{view.sheet.rows[index.row()].key}")

    def _at_cell(self, index: QModelIndex, kind: type[QWidget]) -> QWidget:
        view = self.window.sheet
        if view.currentIndex() != index:
            view.setFocus()
            view.setCurrentIndex(index)
        if kind is not QLineEdit:
            return view.indexWidget(index) or view
        if view.indexWidget(index) is None:
            QTest.keyClick(view, Qt.Key.Key_Return)
        editor = view.indexWidget(index)
        assert editor is not None, "nothing can be typed here"
        return editor

    def _names_of_the_place(self) -> set[str]:
        """What the sheet of place and day would show if it were open."""
        place = self.window.place
        place.begin()
        return {
            words
            for widget in place.findChildren(QWidget)
            if widget.isVisibleTo(place)
            for words in (widget.accessibleName(), _text_of(widget))
            if words
        }

    def reads(self, name: str) -> str:
        """Return what stands in a field."""
        index = self.cell(name)
        if index is not None:
            editor = self.window.sheet.indexWidget(index)
            if isinstance(editor, QLineEdit):
                return editor.text()
            return str(index.data(Qt.ItemDataRole.EditRole) or index.data())
        field = self.find(name)
        if isinstance(field, QComboBox):
            return field.currentText()
        assert isinstance(field, QLineEdit)
        return field.text()

    def note_under(self, name: str) -> str:
        """Return the sentences under a field."""
        index = self.cell(name)
        if index is not None:
            below = index.siblingAtRow(index.row() + 1).siblingAtColumn(0)
            rows = self.window.sheet.sheet.rows
            is_said = below.isValid() and rows[below.row()].kind == "note"
            lines = plain(str(below.data())).split("\n") if is_said else []
            mark = f"{LETTERS[index.column()]}: "
            mine = [line for line in lines if line[2:].startswith(mark)]
            return "\n".join(line.replace(mark, "", 1) for line in mine)
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
        index = self.cell(name)
        if index is not None:
            QTest.keyClick(self._at_cell(index, QWidget), Qt.Key.Key_Return)
            self.choose_from(self.window.sheet.doing.menu, choice)
            return
        box = self.find(name, QComboBox)
        index = box.findText(choice)
        assert index >= 0, f"{name} does not offer {choice!r}"
        box.setCurrentIndex(index)
        box.activated.emit(index)
        self.settle()

    def open(self, station: int, title: str) -> None:
        """Open the row of a part, and the rest of its fields; choose its cell of a station."""
        view, place = self.window.sheet, self._place(title)
        row = view.sheet.rows[place]
        view.setCurrentIndex(view.sheet.index(place, station - 1))
        if not row.is_open:
            self.click_label(place)
        more = view.sheet.place_of(f"{row.key} more")
        if more >= 0 and not view.sheet.rows[more].is_open:
            self.click_label(more)
        self.settle()

    def click_label(self, place: int) -> None:
        """Click the label of a row of the sheet."""
        view = self.window.sheet
        view.scrollTo(view.sheet.index(place, 0))
        header = view.verticalHeader()
        at = QPoint(20, header.sectionViewportPosition(place) + header.sectionSize(place) // 2)
        QTest.mouseClick(header.viewport(), Qt.MouseButton.LeftButton, pos=at)

    def line(self, station: int, title: str) -> str:
        """Return what is read aloud of a part."""
        sheet = self.window.sheet.sheet
        index = sheet.index(self._place(title), station - 1)
        return plain(str(index.data(Qt.ItemDataRole.AccessibleTextRole)))

    def _place(self, title: str) -> int:
        rows = self.window.sheet.sheet.rows
        found = [
            place
            for place, row in enumerate(rows)
            if row.kind in ("slot", "list", "entry") and row.label == title
        ]
        assert len(found) == 1, f"the sheet has {len(found)} rows {title!r}"
        return found[0]

    def cell_menu(self, station: int, title: str, entry: str) -> None:
        """Choose from the menu of a part's cell."""
        view = self.window.sheet
        index = view.sheet.index(self._place(title), station - 1)
        self.cell_menu_at(index, entry)

    def cell_menu_at(self, index: QModelIndex, entry: str) -> None:
        """Choose from the menu of a cell."""
        view = self.window.sheet
        view.scrollTo(index)
        at = view.visualRect(index).center()
        event = QContextMenuEvent(
            QContextMenuEvent.Reason.Mouse, at, view.viewport().mapToGlobal(at)
        )
        QApplication.sendEvent(view.viewport(), event)
        self.choose_from(view.doing.menu, entry)

    def station_menu(self, station: int, entry: str) -> None:
        """Choose from the menu over a station's column."""
        header = self.window.sheet.horizontalHeader()
        at = QPoint(header.sectionViewportPosition(station - 1) + 20, header.height() // 2)
        QTest.mouseClick(header.viewport(), Qt.MouseButton.LeftButton, pos=at)
        self.choose_from(self.window.sheet.doing.menu, entry)

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
