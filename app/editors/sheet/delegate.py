"""Paints the cells of the sheet, and makes the line that one is typed in."""

from __future__ import annotations

from PySide6.QtCore import QEvent, QModelIndex, QObject, QPersistentModelIndex, QRect, QSize, Qt
from PySide6.QtGui import QColor, QFont, QFontMetrics, QKeyEvent, QPainter, QPen
from PySide6.QtWidgets import QStyle, QStyledItemDelegate, QStyleOptionViewItem, QWidget

from app.editors.sheet.cell_edit import CellEdit
from app.editors.sheet.cells import MARKS, STATES, Cell
from app.editors.sheet.model import SheetModel
from app.editors.sheet.rows import Row, facts_of
from app.state.edit_context import Desk
from app.widgets.tokens import NOTES, Tints, level_colour, tints

Index = QModelIndex | QPersistentModelIndex
# Room beside a text, and for the arrow behind it that says that a click opens a list.
PAD_PX, ARROW_PX, NOTE_PAD_PX, NOTE_LEFT_PX = 6, 12, 3, 20
OPENS = ("choice", "rows", "part", "list", "add")
# From the longest to the shortest, where the column is narrow.
NARROW_STATES: tuple[dict[str, str], ...] = ({}, {"standby": "stby"}, {"standby": "sb", "op": "op"})


def states_at(option_rect: QRect, cell: Cell, font: QFont) -> list[tuple[str, str, QRect]]:
    """Return each state of a cell, its word, and where it stands."""
    metrics = QFontMetrics(note_font(font))
    states = facts_of(cell.key).choices
    for short in NARROW_STATES:
        words = [short.get(STATES[each], STATES[each]) for each in states]
        widths = [metrics.horizontalAdvance(each) + 8 for each in words]
        if sum(widths) + 2 * PAD_PX <= option_rect.width():
            break
    left = option_rect.right() - PAD_PX - sum(widths)
    height = min(metrics.height() + 4, option_rect.height() - 2)
    top = option_rect.center().y() - height // 2
    found = []
    for state, word, width in zip(states, words, widths, strict=True):
        found.append((state, word, QRect(left, top, width, height)))
        left += width
    return found


def note_font(font: QFont) -> QFont:
    """Return the font of notes beside a font."""
    own = QFont(font)
    own.setPointSizeF(font.pointSizeF() * NOTES)
    return own


def has_list(row: Row, cell: Cell) -> bool:
    """Whether a click on the arrow of a cell opens a list."""
    if row.kind == "slot":
        return cell.role != "states"
    return cell.role in OPENS or (row.key.endswith(".name") and bool(cell.key))


def paint_words(painter: QPainter, place: QRect, level: str, words: str, font: QFont) -> None:
    """Paint sentences of a level in a place, under the labels of fields."""
    painter.setPen(QColor(tints().text) if level == "caution" else level_colour(level))
    painter.setFont(note_font(font))
    painter.drawText(_inside(place), _WRAPPED, words)


def _inside(place: QRect) -> QRect:
    return place.adjusted(NOTE_LEFT_PX, NOTE_PAD_PX, -PAD_PX, -NOTE_PAD_PX)


class SheetDelegate(QStyledItemDelegate):
    """One delegate for every cell."""

    def __init__(self, desk: Desk, sheet: SheetModel, parent: QObject) -> None:
        super().__init__(parent)
        self._desk, self._sheet = desk, sheet
        # How wide the labels and all columns are.
        self.label_px, self.columns_px = 0, 0

    # Painting.

    def paint(self, painter: QPainter, option: QStyleOptionViewItem, index: Index) -> None:
        row = self._sheet.rows[index.row()]
        rect, own = option.rect, tints()
        painter.save()
        painter.fillRect(rect, QColor(own.raised if row.depth else own.field))
        if row.is_text:
            self._paint_words(painter, rect, index.row(), option.font)
            self._paint_focus(painter, option, own)
        else:
            painter.setPen(QColor(own.line))
            painter.drawLine(rect.bottomLeft(), rect.bottomRight())
            cell = self._sheet.cell(index.row(), index.column())
            if cell.role == "states" and cell.key:
                self._paint_states(painter, option, cell, own)
            else:
                self._paint_cell(painter, option, index.row(), cell, own)
            self._paint_focus(painter, option, own)
        painter.restore()

    def _paint_words(self, painter: QPainter, rect: QRect, row: int, font: QFont) -> None:
        level, words = self._sheet.words_of(row)
        is_open = self._sheet.rows[row].is_open
        if is_open is None:
            # No label stands before them: they begin under the labels, which the header shows.
            place = QRect(-self.label_px, rect.top(), self._whole_px, rect.height())
            paint_words(painter, place, level, words, font)
        elif is_open:
            paint_words(painter, rect.adjusted(-NOTE_LEFT_PX, 0, 0, 0), level, words, font)
        else:
            painter.setPen(QColor(tints().text))
            painter.setFont(note_font(font))
            room = rect.adjusted(PAD_PX, 0, -PAD_PX, 0)
            elide = painter.fontMetrics().elidedText
            line = elide(words, Qt.TextElideMode.ElideRight, room.width())
            painter.drawText(room, _LEFT, line)
        if is_open is not None:
            painter.setPen(QColor(tints().line))
            painter.drawLine(rect.bottomLeft(), rect.bottomRight())

    @property
    def _whole_px(self) -> int:
        return self.label_px + self.columns_px

    def _paint_cell(
        self, painter: QPainter, option: QStyleOptionViewItem, row: int, cell: Cell, own: Tints
    ) -> None:
        rect = option.rect.adjusted(PAD_PX, 0, -PAD_PX, 0)
        is_name = self._sheet.rows[row].kind == "name"
        font = QFont(option.font)
        is_marked = self._sheet.is_differing(row) and not cell.is_quiet and cell.role != "text"
        font.setBold(is_name or is_marked)
        painter.setFont(font)
        metrics = QFontMetrics(font)
        if cell.is_refused:
            painter.fillRect(option.rect.adjusted(1, 1, -1, -2), QColor(own.refused))
        colour = own.error if cell.is_refused else own.quiet_text if cell.is_quiet else own.text
        painter.setPen(QColor(colour))
        if is_name:
            words = _two_lines(cell.text, metrics, rect.width())
            painter.drawText(rect, _RIGHT | Qt.TextFlag.TextWordWrap, words)
            return
        text_rect = rect.adjusted(0, 0, -ARROW_PX, 0)
        mark = MARKS.get(cell.level, "")
        room = text_rect.width() - (metrics.horizontalAdvance(mark + " ") if mark else 0)
        text = metrics.elidedText(cell.text, Qt.TextElideMode.ElideRight, room)
        painter.drawText(text_rect, _RIGHT, text)
        width = metrics.horizontalAdvance(text)
        if cell.is_guess:
            self._paint_guess(painter, text_rect, width, metrics, own)
        if has_list(self._sheet.rows[row], cell):
            painter.setPen(QColor(own.quiet_text))
            painter.drawText(rect, _RIGHT, "▾")
        left = rect.left()
        if mark:
            painter.setPen(level_colour(cell.level))
            painter.drawText(rect, _LEFT, mark)
            left += metrics.horizontalAdvance(mark + " ")
        if cell.aside:
            self._paint_aside(painter, text_rect, left, width, cell.aside, own)

    def _paint_guess(
        self, painter: QPainter, rect: QRect, width: int, metrics: QFontMetrics, own: Tints
    ) -> None:
        base = rect.center().y() + metrics.ascent() // 2 + 3
        painter.setPen(QPen(QColor(own.quiet_text), 1.2, Qt.PenStyle.DotLine))
        painter.drawLine(rect.right() - width, base, rect.right(), base)

    def _paint_aside(
        self, painter: QPainter, rect: QRect, left: int, width: int, aside: str, own: Tints
    ) -> None:
        """Say it where there is room; in a narrow column the tip says it."""
        painter.setFont(note_font(painter.font()))
        room = rect.right() - width - left - PAD_PX
        if painter.fontMetrics().horizontalAdvance(aside) <= room:
            painter.setPen(QColor(own.quiet_text))
            rest = QRect(left, rect.top(), room, rect.height())
            painter.drawText(rest, _RIGHT, aside)

    def _paint_states(
        self, painter: QPainter, option: QStyleOptionViewItem, cell: Cell, own: Tints
    ) -> None:
        painter.setFont(note_font(option.font))
        places = states_at(option.rect, cell, option.font)
        chosen = cell.text
        for state, word, rect in places:
            is_chosen = state == chosen
            if is_chosen:
                painter.fillRect(rect, QColor(own.accent))
            painter.setPen(QColor(own.on_accent if is_chosen else own.text))
            painter.drawText(rect, _CENTRE, word)
        painter.setPen(QColor(own.line))
        painter.drawRect(places[0][2].united(places[-1][2]).adjusted(0, 0, -1, -1))
        mark = MARKS.get(cell.level, "")
        if mark:
            painter.setPen(level_colour(cell.level))
            painter.drawText(option.rect.adjusted(PAD_PX, 0, 0, 0), _LEFT, mark)

    def _paint_focus(self, painter: QPainter, option: QStyleOptionViewItem, own: Tints) -> None:
        if option.state & QStyle.StateFlag.State_HasFocus:
            painter.setPen(QPen(QColor(own.accent), 2))
            painter.drawRect(option.rect.adjusted(1, 1, -1, -1))

    def words_height(self, row: int, usual: int, font: QFont) -> int:
        """Return how high the sentences of a row are; ``usual`` where they are one line [px]."""
        is_open = self._sheet.rows[row].is_open
        if is_open is False:
            return usual
        width = self._whole_px if is_open is None else self.columns_px + NOTE_LEFT_PX
        metrics = QFontMetrics(note_font(font))
        room = _inside(QRect(0, 0, max(width, 100), 10_000))
        words = self._sheet.words_of(row)[1]
        return metrics.boundingRect(room, _WRAPPED, words).height() + 2 * NOTE_PAD_PX

    def second_line(self, row: int, width: int, font: QFont) -> int:
        """Return how much higher a row of names is where one of them takes two lines."""
        bold = QFont(font)
        bold.setBold(True)
        metrics = QFontMetrics(bold)
        texts = [self._sheet.cell(row, column).text for column in range(self._sheet.columnCount())]
        is_long = any(metrics.horizontalAdvance(each) > width - 2 * PAD_PX for each in texts)
        return metrics.lineSpacing() if is_long else 0

    # Editing.

    def sizeHint(self, option: QStyleOptionViewItem, index: Index) -> QSize:
        return QSize(60, QFontMetrics(option.font).height() + 5)

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

    def eventFilter(self, editor: QObject, event: QEvent) -> bool:
        if isinstance(editor, CellEdit) and isinstance(event, QKeyEvent):
            is_press = event.type() == QEvent.Type.KeyPress
            if is_press and event.key() == Qt.Key.Key_Escape:
                editor.give_up()
            elif is_press and event.key() in (Qt.Key.Key_Return, Qt.Key.Key_Enter):
                is_shifted = bool(event.modifiers() & Qt.KeyboardModifier.ShiftModifier)
                editor.leave(everywhere=is_shifted)
        return super().eventFilter(editor, event)


_CENTRE = Qt.AlignmentFlag.AlignCenter
_LEFT = Qt.AlignmentFlag.AlignLeft | Qt.AlignmentFlag.AlignVCenter
_RIGHT = Qt.AlignmentFlag.AlignRight | Qt.AlignmentFlag.AlignVCenter
_WRAPPED = int(Qt.AlignmentFlag.AlignLeft | Qt.AlignmentFlag.AlignTop) | int(
    Qt.TextFlag.TextWordWrap
)


def _two_lines(text: str, metrics: QFontMetrics, width: int) -> str:
    """Return a name cut so that it takes two lines at most."""
    return metrics.elidedText(text, Qt.TextElideMode.ElideRight, width * 2 - metrics.height())
