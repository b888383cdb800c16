"""How the cells of the sheet are painted: calm, aligned, figures at the right."""

from __future__ import annotations

from PySide6.QtCore import QRect, Qt
from PySide6.QtGui import QColor, QFont, QFontMetrics, QPainter, QPen

from app.editors.sheet.cells import MARKS, Cell
from app.editors.sheet.model import SheetModel
from app.editors.sheet.rows import SETTINGS, Row
from app.editors.sheet.states import (
    Segment,
    StateColours,
    paint_setting_names,
    paint_states,
    states_in,
)
from app.widgets.tokens import NOTES, Tints, tints

# Room beside a text, and for the arrow behind it that says that a click opens a list.
PAD_PX, ARROW_PX, NOTE_PAD_PX, NOTE_LEFT_PX = 6, 12, 2, 20
OPENS = ("choice", "rows", "part", "list", "add")


def has_list(row: Row, cell: Cell) -> bool:
    """Whether a click on the arrow of a cell opens a list."""
    if row.kind == "slot":
        return True
    return cell.role in OPENS or (row.key.endswith(".name") and bool(cell.key))


class Colours:
    """The colours of a palette, made once."""

    def __init__(self, own: Tints) -> None:
        self.field, self.raised, self.line = QColor(own.field), QColor(own.raised), QColor(own.line)
        self.text, self.quiet_text = QColor(own.text), QColor(own.quiet_text)
        self.accent, self.on_accent = QColor(own.accent), QColor(own.on_accent)
        self.refused = QColor(own.refused)
        self.error, self.warning, self.hint = map(QColor, (own.error, own.warning, own.hint))
        self.levels = {
            "error": self.error, "warning": self.warning, "hint": self.hint, "caution": self.text,
        }  # fmt: skip
        self.states = StateColours(self.text, self.accent, self.on_accent, self.line)
        self.guess = QPen(self.quiet_text, 1.2, Qt.PenStyle.DotLine)
        self.focus = QPen(self.accent, 2)


class Painting:
    """Holds fonts, measures and colours: made for each cell, they would cost more than painting."""

    def __init__(self, sheet: SheetModel, font: QFont) -> None:
        self._sheet = sheet
        # How wide the labels and all columns are.
        self.label_px, self.columns_px = 0, 0
        self.use(font)
        self.use_palette()

    def use(self, font: QFont) -> None:
        """Paint in this font from now on."""
        self._body, self._bold, self.notes = QFont(font), QFont(font), QFont(font)
        self._bold.setBold(True)
        self.notes.setPointSizeF(font.pointSizeF() * NOTES)
        self._bold_notes = QFont(self.notes)
        self._bold_notes.setBold(True)
        self._states_metrics = QFontMetrics(self._bold_notes)
        self._body_metrics, self._bold_metrics = QFontMetrics(self._body), QFontMetrics(self._bold)
        self._note_metrics = QFontMetrics(self.notes)

    def use_palette(self) -> None:
        """Paint in the colours that the program wears now."""
        self.own = Colours(tints())

    # Measures.

    @property
    def _whole_px(self) -> int:
        return self.label_px + self.columns_px

    def label_in(self, text: str, room_px: int) -> tuple[QFont, str]:
        """Return a label, cut at its end, and its font: a smaller one where it is long."""
        if self._body_metrics.horizontalAdvance(text) <= room_px:
            return self._body, text
        return self.notes, _cut(self._note_metrics, text, room_px)

    def words_height(self, row: int, usual: int) -> int:
        """Return how high the sentences of a row are; ``usual`` where they are one line [px]."""
        is_open = self._sheet.rows[row].is_open
        if is_open is False:
            return usual
        width = self._whole_px if is_open is None else self.columns_px + NOTE_LEFT_PX
        room = _inside(QRect(0, 0, max(width, 100), 10_000))
        words = self._sheet.words_of(row)[1]
        return self._note_metrics.boundingRect(room, _WRAPPED, words).height() + 2 * NOTE_PAD_PX

    def second_line(self, row: int, width: int) -> int:
        """Return how much higher a row of names is where one of them takes two lines [px]."""
        texts = [self._sheet.cell(row, column).text for column in range(self._sheet.columnCount())]
        room = width - 2 * PAD_PX
        is_long = any(self._bold_metrics.horizontalAdvance(each) > room for each in texts)
        return self._bold_metrics.lineSpacing() if is_long else 0

    def has_settings(self, row: int) -> bool:
        """Whether settings of any station stand in a row."""
        columns = range(self._sheet.columnCount())
        return any(self._sheet.cell(row, column).settings for column in columns)

    def states_at(self, rect: QRect, slot: str) -> list[tuple[Segment, ...]]:
        """Return where the states of each setting of a part stand in its cell."""
        return states_in(slot, self._states_metrics, rect.adjusted(2, 0, -PAD_PX - ARROW_PX, 0))

    def first_line(self, rect: QRect, row: Row) -> QRect:
        """Return the place of the first line of a row, the whole of it where it has only one."""
        if row.key in SETTINGS and self.has_settings(self._sheet.place_of(row.key)):
            height = rect.height() // len(SETTINGS[row.key])
            return QRect(rect.left(), rect.top(), rect.width(), height)
        return rect

    # Painting.

    def paint(
        self, painter: QPainter, rect: QRect, row: int, column: int, *, has_focus: bool
    ) -> None:
        """Paint a cell, and a frame where the keyboard is in it."""
        shown, own = self._sheet.rows[row], self.own
        painter.fillRect(rect, own.raised if shown.depth else own.field)
        if not shown.is_text or shown.is_open is not None:
            painter.setPen(own.line)
            painter.drawLine(rect.bottomLeft(), rect.bottomRight())
        if shown.is_text:
            self._paint_words(painter, rect, row, own)
        else:
            cell = self._sheet.cell(row, column)
            if cell.role == "states":
                self._paint_states(painter, rect, shown, cell, own)
            elif shown.kind == "name":
                self._paint_name(painter, rect, cell, own)
            else:
                self._paint_cell(painter, self.first_line(rect, shown), shown, cell, own)
        if has_focus:
            painter.setPen(own.focus)
            painter.drawRect(rect.adjusted(1, 1, -1, -1))

    def paint_across(self, painter: QPainter, rect: QRect, row: int) -> None:
        """Paint that part of sentences which lies under the labels."""
        place = QRect(0, rect.top(), self._whole_px, rect.height())
        self._write(painter, place, *self._sheet.words_of(row))

    def _write(self, painter: QPainter, place: QRect, level: str, words: str) -> None:
        painter.setPen(self.own.levels[level])
        painter.setFont(self.notes)
        painter.drawText(_inside(place), _WRAPPED, words)

    def _paint_words(self, painter: QPainter, rect: QRect, row: int, own: Colours) -> None:
        level, words = self._sheet.words_of(row)
        is_open = self._sheet.rows[row].is_open
        if is_open is None:
            # No label stands before them: they begin under the labels, which the header shows.
            place = QRect(-self.label_px, rect.top(), self._whole_px, rect.height())
            self._write(painter, place, level, words)
        elif is_open:
            self._write(painter, rect.adjusted(-NOTE_LEFT_PX, 0, 0, 0), level, words)
        else:
            room = rect.adjusted(PAD_PX, 0, -PAD_PX, 0)
            painter.setPen(own.text)
            painter.setFont(self.notes)
            painter.drawText(room, _LEFT, _cut(self._note_metrics, words, room.width()))

    def _paint_name(self, painter: QPainter, rect: QRect, cell: Cell, own: Colours) -> None:
        """Paint the name of a station, on two lines at most."""
        metrics, room = self._bold_metrics, rect.adjusted(PAD_PX, 0, -PAD_PX, 0)
        painter.setFont(self._bold)
        self._paint_ground(painter, rect, cell, own)
        # Names that begin alike tell themselves apart at the end.
        room_px, middle = room.width() * 2 - metrics.height(), Qt.TextElideMode.ElideMiddle
        words = _cut(metrics, cell.text, room_px, middle)
        painter.drawText(room, _RIGHT_WRAPPED, words)

    def _paint_ground(self, painter: QPainter, rect: QRect, cell: Cell, own: Colours) -> None:
        if cell.is_refused:
            painter.fillRect(rect.adjusted(1, 1, -1, -2), own.refused)
        colour = own.quiet_text if cell.is_quiet else own.text
        if cell.is_refused or cell.is_changed:
            colour = own.error if cell.is_refused else own.accent
        painter.setPen(colour)

    def _paint_cell(
        self, painter: QPainter, rect: QRect, row: Row, cell: Cell, own: Colours
    ) -> None:
        self._paint_ground(painter, rect, cell, own)
        is_bold = cell.role != "text" and not cell.is_quiet and self._sheet.is_differing(row.key)
        metrics = self._bold_metrics if is_bold else self._body_metrics
        painter.setFont(self._bold if is_bold else self._body)
        left, right = rect.left() + PAD_PX, rect.right() - PAD_PX - ARROW_PX
        mark = MARKS.get(cell.level, "")
        if mark:
            left += metrics.horizontalAdvance(mark + " ")
        text = _cut(metrics, cell.text, right - left)
        width = metrics.horizontalAdvance(text)
        place = QRect(left, rect.top(), right - left, rect.height())
        painter.drawText(place, _RIGHT, text)
        if cell.is_guess:
            base = rect.center().y() + metrics.ascent() // 2 + 3
            painter.setPen(own.guess)
            painter.drawLine(right - width, base, right, base)
        if has_list(row, cell):
            self._paint_arrow(painter, rect, own)
        self._paint_mark(painter, rect, mark, cell.level)
        if cell.aside:
            # In a narrow column the tip says it.
            room = right - width - PAD_PX - left
            if self._note_metrics.horizontalAdvance(cell.aside) <= room:
                painter.setFont(self.notes)
                painter.setPen(own.quiet_text)
                painter.drawText(QRect(left, rect.top(), room, rect.height()), _RIGHT, cell.aside)

    def _paint_arrow(self, painter: QPainter, rect: QRect, own: Colours) -> None:
        painter.setPen(own.quiet_text)
        painter.drawText(rect.adjusted(0, 0, -PAD_PX, 0), _RIGHT, "▾")

    def _paint_mark(self, painter: QPainter, rect: QRect, mark: str, level: str) -> None:
        if mark:
            painter.setPen(self.own.levels[level])
            painter.drawText(rect.adjusted(PAD_PX, 0, 0, 0), _LEFT, mark)

    def _paint_states(
        self, painter: QPainter, rect: QRect, row: Row, cell: Cell, own: Colours
    ) -> None:
        """Paint the settings of a part; what else is said of it stands in their last line."""
        states = self.states_at(rect, row.key)
        self._paint_arrow(painter, self.first_line(rect, row), own)
        last = states[-1][0].place
        left, mark = rect.left() + PAD_PX, MARKS.get(cell.level, "")
        painter.setFont(self._body)
        self._paint_mark(
            painter, QRect(rect.left(), last.top(), 40, last.height()), mark, cell.level
        )
        if mark:
            left += self._body_metrics.horizontalAdvance(mark + " ")
        painter.setFont(self.notes)
        if self._note_metrics.horizontalAdvance(cell.aside) <= last.left() - PAD_PX - left:
            painter.setPen(own.accent if cell.is_changed else own.quiet_text)
            painter.drawText(
                QRect(left, last.top(), rect.width(), last.height()), _LEFT, cell.aside
            )
        chosen = self._bold_notes if self._sheet.is_differing(row.key) else self.notes
        paint_states(painter, states, cell.settings, own.states, chosen)

    def paint_setting_names(self, painter: QPainter, place: QRect, row: int) -> None:
        """Paint quietly beside the label of a part what the settings in its row are called."""
        if self.has_settings(row):
            shown = self._sheet.rows[row]
            painter.setFont(self.notes)
            painter.setPen(self.own.quiet_text)
            label_px = self._body_metrics.horizontalAdvance(shown.label)
            paint_setting_names(painter, place, shown.key, self._note_metrics, label_px)


def _cut(
    metrics: QFontMetrics,
    text: str,
    room_px: int,
    elided: Qt.TextElideMode = Qt.TextElideMode.ElideRight,
) -> str:
    """Return a text, cut where it is too long, at its end unless stated otherwise."""
    if metrics.horizontalAdvance(text) <= room_px:
        return text
    return metrics.elidedText(text, elided, room_px)


def _inside(place: QRect) -> QRect:
    return place.adjusted(NOTE_LEFT_PX, NOTE_PAD_PX, -PAD_PX, -NOTE_PAD_PX)


# As plain numbers: put together anew for each cell they would cost as much as its text.
_CENTRE = Qt.AlignmentFlag.AlignCenter.value
_LEFT = (Qt.AlignmentFlag.AlignLeft | Qt.AlignmentFlag.AlignVCenter).value
_RIGHT = (Qt.AlignmentFlag.AlignRight | Qt.AlignmentFlag.AlignVCenter).value
_WRAP = Qt.TextFlag.TextWordWrap.value
_RIGHT_WRAPPED = _RIGHT | _WRAP
_WRAPPED = (Qt.AlignmentFlag.AlignLeft | Qt.AlignmentFlag.AlignTop).value | _WRAP
