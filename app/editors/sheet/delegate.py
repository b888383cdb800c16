"""Hands the cells of the sheet to its painting, and makes the line that one is typed in."""

from __future__ import annotations

from PySide6.QtCore import QEvent, QModelIndex, QObject, QPersistentModelIndex, QSize, Qt
from PySide6.QtGui import QKeyEvent, QPainter
from PySide6.QtWidgets import QStyle, QStyledItemDelegate, QStyleOptionViewItem, QWidget

from app.editors.sheet.cell_edit import CellEdit
from app.editors.sheet.model import SheetModel
from app.editors.sheet.painting import Painting
from app.state.edit_context import Desk

Index = QModelIndex | QPersistentModelIndex
_ENDS = (Qt.Key.Key_Return, Qt.Key.Key_Enter, Qt.Key.Key_Escape)


class SheetDelegate(QStyledItemDelegate):
    """One delegate for every cell."""

    def __init__(self, desk: Desk, sheet: SheetModel, painting: Painting, parent: QObject) -> None:
        super().__init__(parent)
        self._desk, self._sheet, self._painting = desk, sheet, painting

    def paint(self, painter: QPainter, option: QStyleOptionViewItem, index: Index) -> None:
        has_focus = bool(option.state & QStyle.StateFlag.State_HasFocus)
        spot = (index.row(), index.column())
        self._painting.paint(painter, option.rect, *spot, has_focus=has_focus)

    def sizeHint(self, option: QStyleOptionViewItem, index: Index) -> QSize:
        return QSize(60, option.fontMetrics.height() + 4)

    def createEditor(self, parent: QWidget, _option: QStyleOptionViewItem, index: Index) -> QWidget:
        cell = self._sheet.cell(index.row(), index.column())
        return CellEdit(self._desk, self._sheet, cell.key, index.column(), parent)

    def setEditorData(self, editor: QWidget, index: Index) -> None:
        assert isinstance(editor, CellEdit)
        if editor.is_begun:
            editor.follow()
        else:
            editor.begin(self._sheet.cell(index.row(), index.column()).typed)

    def setModelData(self, editor: QWidget, _model: object, _index: Index) -> None:
        """Nothing is left to be written: each key was."""

    def updateEditorGeometry(
        self, editor: QWidget, option: QStyleOptionViewItem, _index: Index
    ) -> None:
        editor.setGeometry(option.rect.adjusted(1, 1, -1, -1))

    def destroyEditor(self, editor: QWidget, index: Index) -> None:
        assert isinstance(editor, CellEdit)
        editor.leave()
        super().destroyEditor(editor, index)
        editor.let_go()

    def eventFilter(self, editor: QObject, event: QEvent) -> bool:
        if isinstance(editor, CellEdit) and isinstance(event, QKeyEvent):
            is_press = event.type() == QEvent.Type.KeyPress
            if is_press and event.key() in _ENDS:
                if event.key() == Qt.Key.Key_Escape:
                    editor.give_up()
                else:
                    is_shifted = bool(event.modifiers() & Qt.KeyboardModifier.ShiftModifier)
                    editor.leave(everywhere=is_shifted)
                # At once, and with any modifier: Qt would close it in a later turn, when it may be
                # gone already, and not at all with Shift and Escape.
                self.closeEditor.emit(editor, QStyledItemDelegate.EndEditHint.NoHint)
                return True
        return super().eventFilter(editor, event)
