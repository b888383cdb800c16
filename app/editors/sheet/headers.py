"""The labels before the rows of the sheet, which open them, and the stations over its columns."""

from __future__ import annotations

from PySide6.QtCore import QEvent, QPoint, QRect, QSize, Qt, Signal
from PySide6.QtGui import QColor, QFontMetrics, QHelpEvent, QMouseEvent, QPainter, QPen
from PySide6.QtWidgets import QHeaderView, QToolTip, QWidget

from app.editors.fields.editor import plain_tip
from app.editors.sheet.model import SheetModel
from app.editors.sheet.painting import Painting
from app.editors.sheet.rows import SETTINGS, facts_of
from app.widgets.tokens import is_dark, station_style, tints

INDENT_PX, PAD_PX, LINE_PX = 12, 8, 30


class LabelHeader(QHeaderView):
    """Labels stay in sight however far the columns are scrolled; a click opens and closes."""

    toggled = Signal(int)

    def __init__(self, sheet: SheetModel, painting: Painting, parent: QWidget) -> None:
        super().__init__(Qt.Orientation.Vertical, parent)
        self._sheet, self._painting = sheet, painting
        self.setSectionResizeMode(QHeaderView.ResizeMode.Fixed)
        self.setSectionsClickable(False)
        self.setHighlightSections(False)
        self.setMinimumSectionSize(8)

    def sizeHint(self) -> QSize:
        return QSize(self.minimumWidth(), 100)

    def paintSection(self, painter: QPainter, rect: QRect, section: int) -> None:
        row, own = self._sheet.rows[section], self._painting.own
        painter.fillRect(rect, own.raised if row.depth else own.field)
        if row.is_text and row.is_open is None:
            # The sentences go on in the columns.
            self._painting.paint_across(painter, rect, section)
            return
        painter.setFont(self.font())
        painter.setPen(own.line)
        painter.drawLine(rect.bottomLeft(), rect.bottomRight())
        left, line = (
            rect.left() + PAD_PX + row.depth * INDENT_PX,
            self._painting.first_line(rect, row),
        )
        if row.is_open is not None:
            painter.setPen(own.text)
            arrow = QRect(left, line.top(), INDENT_PX, line.height())
            painter.drawText(arrow, _LEFT, "▾" if row.is_open else "▸")
        left += INDENT_PX if row.depth == 0 or row.is_open is not None else 0
        quiet = row.kind not in ("slot", "list", "entry") and row.depth > 0
        painter.setPen(own.quiet_text if quiet else own.text)
        room = rect.right() - left - 2
        font, label = self._painting.label_in(row.label, room)
        painter.setFont(font)
        painter.drawText(QRect(left, line.top(), room, line.height()), _LEFT, label)
        if row.key in SETTINGS:
            place = QRect(left, rect.top(), room, rect.height())
            self._painting.paint_setting_names(painter, place, section)

    def mousePressEvent(self, event: QMouseEvent) -> None:
        section = self.logicalIndexAt(event.position().toPoint())
        if event.button() == Qt.MouseButton.LeftButton and section >= 0:
            self.toggled.emit(section)
        event.accept()

    def mouseDoubleClickEvent(self, event: QMouseEvent) -> None:
        self.mousePressEvent(event)

    def viewportEvent(self, event: QEvent) -> bool:
        if event.type() == QEvent.Type.ToolTip and isinstance(event, QHelpEvent):
            section = self.logicalIndexAt(event.pos())
            tip = self._tip_of(section) if section >= 0 else ""
            QToolTip.showText(
                event.globalPos(), plain_tip(tip).replace("\n", "<br>") if tip else "", self
            )
            return True
        return super().viewportEvent(event)

    def _tip_of(self, section: int) -> str:
        row = self._sheet.rows[section]
        if row.kind == "slot":
            settings = SETTINGS.get(row.key, {}).items()
            return "\n".join(f"{name.capitalize()}: {facts_of(key).help}" for key, name in settings)
        if row.kind != "field":
            return ""
        label, words = facts_of(row.key).label, self._sheet.help_of(row.key)
        return f"{label}. {words}" if words else label


class StationHeader(QHeaderView):
    """Letter and line of each station, as the plots show it; a click asks for its menu."""

    menu_wanted = Signal(int, QPoint)

    def __init__(self, sheet: SheetModel, parent: QWidget) -> None:
        super().__init__(Qt.Orientation.Horizontal, parent)
        self._sheet = sheet
        self.setSectionResizeMode(QHeaderView.ResizeMode.Fixed)
        self.setSectionsClickable(False)
        self.setHighlightSections(False)
        self.setMinimumSectionSize(20)
        self.setCursor(Qt.CursorShape.PointingHandCursor)
        self.setToolTip("Duplicate, move, rename or remove this station")

    def sizeHint(self) -> QSize:
        return QSize(100, self.fontMetrics().height() + 6)

    def paintSection(self, painter: QPainter, rect: QRect, section: int) -> None:
        own, style = tints(), station_style(section)
        painter.save()
        painter.fillRect(rect, QColor(own.field))
        font = painter.font()
        font.setBold(True)
        painter.setFont(font)
        colour = QColor(style.colour(dark=is_dark()))
        middle, right = rect.center().y() + 1, rect.right() - PAD_PX
        painter.setPen(QColor(own.quiet_text))
        painter.drawText(QRect(right - 8, rect.top(), 10, rect.height()), _LEFT, "▾")
        painter.setPen(QPen(colour, 2.5, style.line))
        painter.drawLine(right - 12 - LINE_PX, middle, right - 12, middle)
        painter.setPen(QColor(own.text))
        width = QFontMetrics(font).horizontalAdvance(style.letter) + 4
        place = QRect(right - 16 - LINE_PX - width, rect.top(), width, rect.height())
        painter.drawText(place, _LEFT, style.letter)
        painter.restore()

    def mousePressEvent(self, event: QMouseEvent) -> None:
        at = event.position().toPoint()
        section = self.logicalIndexAt(at)
        if section >= 0:
            corner = QPoint(self.sectionViewportPosition(section), self.height())
            self.menu_wanted.emit(section, self.viewport().mapToGlobal(corner))
        event.accept()


_LEFT = (Qt.AlignmentFlag.AlignLeft | Qt.AlignmentFlag.AlignVCenter).value
