"""The ground of the sheet: its headers, how wide columns and how high rows are."""

from __future__ import annotations

from PySide6.QtCore import QEvent, QModelIndex, QObject, QPersistentModelIndex, Qt, Signal
from PySide6.QtGui import QColor, QPainter, QPalette, QResizeEvent
from PySide6.QtWidgets import QAbstractButton, QAbstractItemView, QFrame, QTableView, QWidget

from app.editors.sheet.delegate import SheetDelegate
from app.editors.sheet.headers import LabelHeader, StationHeader
from app.editors.sheet.model import SheetModel
from app.editors.sheet.painting import Painting
from app.editors.sheet.rows import SETTINGS
from app.state.edit_context import Desk
from app.widgets.tokens import tints

Index = QModelIndex | QPersistentModelIndex
# Widths in digits: of the labels at least and as they best are, of a column likewise.
LABEL_DIGITS, USUAL_LABEL_DIGITS = 16, 24
COLUMN_DIGITS, USUAL_COLUMN_DIGITS, MOST_COLUMN_DIGITS = 13, 18, 30
ROW_MARGIN_PX = 3


class SheetGrid(QTableView):
    """Lays the sheet out.

    ``shared`` carries the width of the labels and of the columns, for what stands under them;
    ``laid_out`` tells that its rows have their heights.
    """

    shared = Signal(int, object)
    laid_out = Signal()

    def __init__(self, desk: Desk, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.sheet = SheetModel(desk, self)
        self.painting = Painting(self.sheet, self.font())
        # How many stations the columns are laid out for.
        self.count = 0
        self.setModel(self.sheet)
        self.setItemDelegate(SheetDelegate(desk, self.sheet, self.painting, self))
        self.labels = LabelHeader(self.sheet, self.painting, self)
        self.heads = StationHeader(self.sheet, self)
        self.setVerticalHeader(self.labels)
        self.setHorizontalHeader(self.heads)
        self._look()
        self.sheet.rows_changed.connect(self._lay_rows)
        self.sheet.dataChanged.connect(self._follow_heights)

    def _look(self) -> None:
        self.setAccessibleName("stations")
        self.setFrameShape(QFrame.Shape.NoFrame)
        self.setShowGrid(False)
        self.setWordWrap(False)
        self.setTabKeyNavigation(False)
        self.setSelectionMode(QAbstractItemView.SelectionMode.NoSelection)
        self.setEditTriggers(QAbstractItemView.EditTrigger.NoEditTriggers)
        self.setVerticalScrollMode(QAbstractItemView.ScrollMode.ScrollPerPixel)
        self.setHorizontalScrollMode(QAbstractItemView.ScrollMode.ScrollPerPixel)
        for header in (self.labels, self.heads):
            header.viewport().setBackgroundRole(QPalette.ColorRole.Base)
        for corner in self.findChildren(QAbstractButton):
            if corner.parent() is self:
                corner.setFocusPolicy(Qt.FocusPolicy.NoFocus)
                corner.setAccessibleName("What you carry")
                corner.installEventFilter(self)

    def follow_count(self) -> bool:
        """Lay the columns out anew where there are more or fewer stations; return whether so."""
        count = self.sheet.columnCount()
        if count == self.count:
            return False
        self.count = count
        self._share()
        self._lay_rows()
        return True

    def usual_width(self, room: int) -> int:
        """Return the width at which every station stands side by side, within the room."""
        digit = self.fontMetrics().horizontalAdvance("0")
        count = max(self.count, 2)
        usual = digit * (USUAL_LABEL_DIGITS + USUAL_COLUMN_DIGITS * count)
        least = digit * (LABEL_DIGITS + COLUMN_DIGITS * count)
        return max(min(usual, room), least) + self._bar_px()

    def _bar_px(self) -> int:
        return self.verticalScrollBar().sizeHint().width()

    def _share(self) -> None:
        """Share the width out among the labels and the stations; room for a bar is always left."""
        digit = self.fontMetrics().horizontalAdvance("0")
        room, count = self.width() - self._bar_px(), max(self.count, 1)
        column = (room - digit * USUAL_LABEL_DIGITS) // count
        column = max(min(column, digit * MOST_COLUMN_DIGITS), digit * COLUMN_DIGITS)
        label = max(room - column * count, digit * LABEL_DIGITS)
        if label == digit * LABEL_DIGITS:
            column = max((room - label) // count, digit * COLUMN_DIGITS)
        self.labels.setFixedWidth(label)
        self.heads.setDefaultSectionSize(column)
        self.updateGeometries()
        self.shared.emit(label, [column] * count)

    def _lay_rows(self) -> None:
        """Give every row its height, and sentences the whole width."""
        usual = self.fontMetrics().height() + ROW_MARGIN_PX
        column = self.heads.defaultSectionSize()
        if self.labels.defaultSectionSize() != usual:
            self.labels.setDefaultSectionSize(usual)
        self.painting.label_px = self.labels.width()
        self.painting.columns_px = column * self.count
        self.clearSpans()
        for place, row in enumerate(self.sheet.rows):
            if row.is_text and self.count > 1:
                self.setSpan(place, 0, 1, self.count)
            self._set_height(place)
        self.laid_out.emit()

    def _follow_heights(self, first: Index, last: Index) -> None:
        """Give rows another height whose texts need more lines, or fewer, than before."""
        for place in range(first.row(), last.row() + 1):
            if self._set_height(place):
                self.laid_out.emit()

    def _set_height(self, place: int) -> bool:
        """Give a row the height that its texts need; return whether it had another."""
        row, height = self.sheet.rows[place], self.labels.defaultSectionSize()
        if row.is_text:
            height = self.painting.words_height(place, height)
        elif row.kind == "name":
            height += self.painting.second_line(place, self.heads.defaultSectionSize())
        elif row.key in SETTINGS and self.painting.has_settings(place):
            height *= len(SETTINGS[row.key])
        if self.rowHeight(place) == height:
            return False
        self.setRowHeight(place, height)
        return True

    def resizeEvent(self, event: QResizeEvent) -> None:
        before = (self.labels.width(), self.heads.defaultSectionSize())
        if event.size().width() != event.oldSize().width():
            self._share()
            if before != (self.labels.width(), self.heads.defaultSectionSize()):
                self._lay_rows()
        super().resizeEvent(event)

    def changeEvent(self, event: QEvent) -> None:
        super().changeEvent(event)
        if event.type() in (QEvent.Type.PaletteChange, QEvent.Type.ApplicationPaletteChange):
            self.painting.use_palette()
        if event.type() == QEvent.Type.FontChange and self.count:
            self.painting.use(self.font())
            self._share()
            self._lay_rows()

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        if event.type() == QEvent.Type.Paint and isinstance(watched, QAbstractButton):
            with QPainter(watched) as painter:
                own, rect = tints(), watched.rect()
                painter.fillRect(rect, QColor(own.field))
                painter.setPen(QColor(own.quiet_text))
                painter.drawText(rect.adjusted(8, 0, 0, 0), _LEFT, "What you carry")
            return True
        return super().eventFilter(watched, event)


_LEFT = Qt.AlignmentFlag.AlignLeft | Qt.AlignmentFlag.AlignVCenter
