"""What an eye would complain of: cut text, and things that lie on one another."""

from __future__ import annotations

from itertools import combinations

from PySide6.QtCore import QPoint, QRect, QSize, Qt
from PySide6.QtGui import QFont, QFontMetrics
from PySide6.QtWidgets import (
    QAbstractButton,
    QAbstractScrollArea,
    QComboBox,
    QLabel,
    QLineEdit,
    QPushButton,
    QScrollArea,
    QToolButton,
    QWidget,
)

from app.editors.plan_strip.strip import PlanStrip
from app.editors.sheet.painting import ARROW_PX, PAD_PX
from app.main_window import MainWindow
from app.pages.day_view import DayView
from app.widgets.sides import Sides

# A pixel of rounding in metrics is no fault an eye could find.
ROUNDING_PX = 1
# The sheet of place and day hangs over what lies below it.
OVER_OTHERS = ("QRubberBand", "QSplitterHandle", "QSizeGrip", "AnchoredSheet", "Popover")


def place_of(widget: QWidget, window: QWidget) -> QRect:
    """Where a widget lies in the window."""
    return QRect(widget.mapTo(window, QPoint(0, 0)), widget.size())


def words_of(widget: QWidget) -> str:
    """What is written on a widget, or what it is called."""
    for name in ("text", "words"):
        read = getattr(widget, name, None)
        if read is not None:
            text = str(read() if callable(read) else read)
            if text:
                return text
    return widget.accessibleName() or type(widget).__name__


def cut_labels(window: QWidget) -> list[str]:
    """Labels that have less room than their text needs."""
    found = []
    for label in window.findChildren(QLabel):
        if not label.isVisible() or not label.text():
            continue
        if label.wordWrap():
            short = label.heightForWidth(label.width()) - label.height()
        else:
            needed = label.sizeHint()
            short = max(needed.width() - label.width(), needed.height() - label.height())
        if short > ROUNDING_PX:
            found.append(f"{label.text()[:60]!r} lacks {short} px")
    return found


def room_for_words(widget: QWidget) -> QSize:
    """How much room a button or a choice needs for its words alone."""
    if widget.hasHeightForWidth():
        return QSize(0, widget.heightForWidth(widget.width()))
    if isinstance(widget, QPushButton):
        text = widget.text().replace("&", "")
        metrics = widget.fontMetrics()
        return QSize(metrics.horizontalAdvance(text) + 6, metrics.height() + 2)
    return widget.minimumSizeHint()


def cut_buttons(window: QWidget) -> list[str]:
    """Buttons and choices whose words do not fit."""
    found = []
    for widget in window.findChildren(QWidget):
        if not isinstance(widget, QAbstractButton | QComboBox) or not widget.isVisible():
            continue
        if isinstance(widget, QToolButton) and not widget.text() and widget.icon().isNull():
            # An arrow alone has no words: Qt scrolls the tabs with it.
            continue
        needed = room_for_words(widget)
        short = max(needed.width() - widget.width(), needed.height() - widget.height())
        if short > ROUNDING_PX:
            found.append(f"{words_of(widget)[:60]!r} lacks {short} px")
    return found


def cut_numbers(window: QWidget) -> list[str]:
    """Numbers that do not fit the field they stand in."""
    found = []
    for edit in window.findChildren(QLineEdit):
        if not edit.isVisible() or not edit.alignment() & Qt.AlignmentFlag.AlignRight:
            continue
        room = edit.width() - 8
        needed = edit.fontMetrics().horizontalAdvance(edit.text())
        if needed > room:
            found.append(f"{edit.accessibleName()}: {edit.text()!r} lacks {needed - room} px")
    return found


def overlaps(window: QWidget) -> list[str]:
    """Neighbours that lie on one another."""
    found = []
    for parent in [window, *window.findChildren(QWidget)]:
        # Buttons and card of the day lie over its curves; its words are looked at by themselves.
        if isinstance(parent, DayView | PlanStrip):
            continue
        # A drawer lies over what is beside it.
        if isinstance(parent, Sides) and parent.is_drawer:
            continue
        if not parent.isVisible() or isinstance(parent, QAbstractScrollArea):
            continue
        children = [
            child
            for child in parent.children()
            if isinstance(child, QWidget)
            and child.isVisible()
            and not child.isWindow()
            and type(child).__name__ not in OVER_OTHERS
        ]
        for one, other in combinations(children, 2):
            shared = one.geometry().intersected(other.geometry())
            if min(shared.width(), shared.height()) > ROUNDING_PX:
                found.append(f"{words_of(one)[:40]!r} and {words_of(other)[:40]!r}")
    return found


def sticking_out(window: QWidget) -> list[str]:
    """Buttons, choices, fields and labels that reach beyond what they stand in."""
    found = []
    for widget in window.findChildren(QWidget):
        holder = widget.parentWidget()
        if not isinstance(widget, QAbstractButton | QComboBox | QLabel | QLineEdit):
            continue
        if not widget.isVisible() or holder is None:
            continue
        if not holder.rect().adjusted(-1, -1, 1, 1).contains(widget.geometry()):
            found.append(f"{words_of(widget)[:60]!r} in {type(holder).__name__}")
    return found


def out_of_reach(window: QWidget) -> list[str]:
    """Sheets that are wider than what is seen of them, without a bar to scroll them by."""
    found = []
    for area in window.findChildren(QScrollArea):
        sheet = area.widget()
        if not area.isVisible() or sheet is None:
            continue
        lacks = sheet.width() - area.viewport().width()
        if lacks > ROUNDING_PX and not area.horizontalScrollBar().isVisible():
            found.append(f"{area.accessibleName() or type(area).__name__} lacks {lacks} px")
    return found


def cut_cells(window: MainWindow) -> list[str]:
    """Cells of the sheet whose number or choice does not fit in its column."""
    view, found = window.sheet, []
    if not view.isVisible():
        return []
    bold = QFont(view.font())
    bold.setBold(True)
    metrics = QFontMetrics(bold)
    for place, row in enumerate(view.sheet.rows):
        for column in range(view.sheet.columnCount()):
            cell = view.sheet.cell(place, column)
            if row.kind != "slot" and cell.role not in ("number", "states", "rows"):
                continue
            room = view.columnWidth(column) - 2 * PAD_PX - ARROW_PX
            if cell.role == "states":
                rect = view.visualRect(view.sheet.index(place, column))
                lines = view.painting.states_at(rect, row.key)
                if any(line[0].place.left() < rect.left() for line in lines):
                    found.append(f"{row.key}: {cell.text}")
            elif metrics.horizontalAdvance(cell.text) > room:
                found.append(f"{row.key}: {cell.text}")
    return found
