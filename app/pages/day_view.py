"""The day: curves over the plan on one time axis, with cursor, card, zoom, and pictures."""

from __future__ import annotations

from pathlib import Path

from PySide6.QtCore import QEvent, QPoint, QRect, QRectF, QSize, Qt, QTimer, Signal
from PySide6.QtGui import (
    QContextMenuEvent,
    QFocusEvent,
    QGuiApplication,
    QImage,
    QKeyEvent,
    QKeySequence,
    QPainter,
    QResizeEvent,
    QShowEvent,
)
from PySide6.QtWidgets import QPushButton, QToolButton, QVBoxLayout, QWidget

from app.charts.day.card import CursorCard
from app.charts.day.day_chart import DayChart
from app.charts.day.day_menu import DayMenu
from app.charts.day.ghost import Ghost
from app.charts.day.marks_key import MarksKey
from app.charts.day.outlook import Outlook
from app.charts.day.read_out import ReadOut
from app.charts.day.words import table_text
from app.charts.ink import Ink
from app.charts.panes import PICTURE_SCALE
from app.charts.picture_file import save_lines, save_pixels
from app.charts.zooming import ZOOM_STEP
from app.editors.plan_strip.strip import PlanStrip
from app.widgets.popover import Popover
from app.work.jobs import window_first
from model.engine.comparison import Comparison
from model.odds.odds import Odds

BY_TAB = (Qt.FocusReason.TabFocusReason, Qt.FocusReason.BacktabFocusReason)
NAME = "The day: state of charge, panel and load"


class DayView(QWidget):
    """Shows a comparison over its days with the plan under it; changes nothing itself.

    ``cursor_moved`` carries the minute read out; ``picture_wanted`` the ending of a file, or
    nothing for the clipboard; ``said`` a sentence on what was done.
    """

    cursor_moved = Signal(int)
    picture_wanted = Signal(str)
    said = Signal(str)

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.chart = DayChart(self)
        self.plan = PlanStrip(self.chart.span, self)
        self.card = CursorCard(self)
        self.ghost = Ghost(self.chart, self)
        self._is_pointed = False
        # Whether the keyboard came here to read: at rest no card lies over the curves.
        self._is_read = False
        # What a person wants, folded or not; without a wish, as there is room.
        self._fold_wish: bool | None = None
        self.read = ReadOut(self.chart, self.card, self)
        self._sky: object = None
        self.menu = DayMenu(self)
        self.key = Popover("What the marks mean", MarksKey(), self)
        self.whole_button = QPushButton("Whole run", self, autoDefault=False)
        self.whole_button.setToolTip("Show the whole run again (0)")
        self.whole_button.hide()
        self.fold_button = self._tool("Fold", "Show or fold panel and load")
        self.key_button = self._tool("Marks", "What the marks mean")
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(0)
        column.addWidget(self.chart, 1)
        column.addWidget(self.plan)
        self.chart.setAccessibleName(NAME)
        self.setFocusProxy(self.chart)
        self._wire()
        self._dress()

    def _tool(self, text: str, tip: str) -> QToolButton:
        button = QToolButton(self)
        button.setText(text)
        button.setToolTip(tip)
        button.setAccessibleName(tip)
        button.setAutoRaise(True)
        button.setFocusPolicy(Qt.FocusPolicy.TabFocus)
        return button

    def _wire(self) -> None:
        self.whole_button.clicked.connect(self.chart.show_whole)
        self.fold_button.clicked.connect(self.toggle_fold)
        self.key_button.clicked.connect(self.show_key)
        self.chart.pointed.connect(self._on_pointed)
        self.chart.stretch_changed.connect(self._on_stretch_changed)
        self.chart.key_pressed.connect(self._on_key)
        self.chart.viewport().installEventFilter(self)
        self.chart.installEventFilter(self)
        canvas = self.plan.canvas
        canvas.pointed.connect(self._on_pointed)
        canvas.left.connect(self._on_left)
        self.plan.dragged.connect(self._on_dragged)
        menu = self.menu
        for action, slot in (
            (menu.whole, self.chart.show_whole), (menu.closer, self.zoom_in),
            (menu.wider, self.zoom_out), (menu.folded, self.toggle_fold),
            (menu.marks, self.show_key), (menu.copy, self._on_copy), (menu.png, self._on_png),
            (menu.svg, self._on_svg), (menu.table, self._on_table),
        ):  # fmt: skip
            action.triggered.connect(slot)
        menu.in_w.toggled.connect(self.chart.show_load_in_w)

    @property
    def cursor_minute(self) -> int:
        """The minute read out, elapsed since the start of the run."""
        return self.read.minute

    @property
    def has_ghost(self) -> bool:
        """Whether an earlier curve is still seen behind the present one, and will fade."""
        return self.ghost.is_fading

    def show_comparison(self, comparison: Comparison, *, ghost: bool = False) -> None:
        """Show a comparison; with ghost, what was shown before the change stays as a faint curve.

        Through a row of changes the ghost is what stood before the first of them. Once no more
        come it fades away. Curves that are held stay.
        """
        self.ghost.before(comparison, keep=ghost)
        self.chart.show_comparison(comparison)
        nights, twilights = self.chart.sky
        self.plan.canvas.show_run(nights, twilights, self.chart.ends)
        self.plan.follow_span()
        self.read.follow()
        self._draw_cursor()

    def show_band(self, spread: Odds | None) -> None:
        """Show the uncertainty band of the comparison shown, or none; the next takes it away."""
        self.chart.show_band(spread)
        self.read.renew()

    def show_outlook(self, outlook: Outlook | None) -> None:
        """Show the field check of a station of the comparison shown, or none.

        The next comparison takes it away.
        """
        self.chart.show_outlook(outlook)
        self.read.renew()

    def move_cursor(self, minute: int) -> None:
        """Read out another minute, elapsed since the start of the run."""
        if self.read.is_empty:
            return
        self.read.move(minute)
        self._on_moved()

    def _on_moved(self) -> None:
        self._draw_cursor()
        self.cursor_moved.emit(self.read.minute)

    # Pictures.

    def picture(self) -> QImage:
        """Return curves and plan as an image of twice the pixels."""
        image = QImage(self._picture_size() * PICTURE_SCALE, QImage.Format.Format_RGB32)
        with QPainter(image) as painter:
            painter.scale(PICTURE_SCALE, PICTURE_SCALE)
            self._paint_picture(painter)
        return image

    def save_png(self, path: Path) -> None:
        """Save the day as an image; raise SaveError, which says why, where that fails."""
        save_pixels(self.picture(), path)

    def save_svg(self, path: Path) -> None:
        """Save the day as lines and text; raise SaveError, which says why, where that fails."""
        comparison = self.chart.comparison
        title = comparison.scenario.title if comparison is not None else ""
        save_lines(self._paint_picture, self._picture_size(), path, title)

    def copy_image(self) -> None:
        """Put the day on the clipboard as an image."""
        QGuiApplication.clipboard().setImage(self.picture())

    def _picture_size(self) -> QSize:
        return QSize(self.chart.width(), self.chart.height() + self.plan.canvas.height())

    def _paint_picture(self, painter: QPainter) -> None:
        self._draw_cursor(is_shown=False)
        self.chart.paint_on(painter, QRectF(self.chart.rect()))
        painter.translate(0, self.chart.height())
        self.plan.canvas.draw(painter)
        self._draw_cursor()

    # What stands over the curves.

    def toggle_fold(self) -> None:
        """Fold panel and load away, or show them again, whatever the room."""
        self._fold_wish = self.chart.sun.is_shown
        self._fold(self._fold_wish)

    def fold_for_room(self, room_px: int, charge_px: int) -> None:
        """Fold panel and load where they would leave the charge too low; a person's wish stays."""
        needed = charge_px + self.chart.least_height_px(2) + self.plan.sizeHint().height()
        needed += self.chart.lanes.minimumHeight()
        self._fold(self._fold_wish if self._fold_wish is not None else needed > room_px)

    def _fold(self, is_folded: bool) -> None:
        self.chart.fold(is_folded)
        self._place_tools()

    def show_key(self) -> None:
        """Say what the marks mean."""
        at = self.key_button.mapToGlobal(QPoint(0, 0))
        self.key.open_over(QRect(at, self.key_button.size()))

    def zoom_in(self) -> None:
        """Show less of the run, about the cursor."""
        self.chart.reveal(self.read.minute)
        self.chart.zoom(ZOOM_STEP**2, float(self.read.minute))

    def zoom_out(self) -> None:
        """Show more of the run."""
        span = self.chart.span
        self.chart.zoom(ZOOM_STEP**-2, (span.low + span.high) / 2)

    def _place_tools(self) -> None:
        span, pane = self.chart.span, self.chart.charge.place
        right = round(span.left_px + span.width_px)
        hint = self.whole_button.sizeHint()
        corner = QPoint(right - hint.width() - 6, round(pane.top()) + 6)
        self.whole_button.setGeometry(QRect(corner, hint))
        is_folded = not self.chart.sun.is_shown
        self.fold_button.setText("▸ Panel" if is_folded else "▾ Panel")
        bottom = self.chart.reach()[1] if is_folded else self.chart.sun.place.top()
        fold_px = self.fold_button.sizeHint().height() if is_folded else 0
        self.chart.end_labels.keep_within(pane.height() - fold_px)
        for button, top in (
            (self.fold_button, bottom - fold_px),
            (self.key_button, self.plan.y() + self.plan.canvas.height() - 2.1 * hint.height()),
        ):
            size = button.sizeHint()
            button.setGeometry(QRect(QPoint(right + 4, round(top)), size))
            button.setVisible(right + 4 + size.width() <= self.width())

    def _show_card(self, is_pointed: bool) -> None:
        self._is_pointed = is_pointed
        self._is_read = self._is_read and self.chart.hasFocus()
        has_keyboard = self._is_read and QGuiApplication.focusWindow() is not None
        self.card.setVisible((is_pointed or has_keyboard) and not self.read.is_empty)
        self._draw_cursor()

    def _draw_cursor(self, *, is_shown: bool = True) -> None:
        minute = float(self.read.minute) if is_shown and self.card.isVisible() else None
        colour = Ink.of(self.palette()).text
        self.chart.show_cursor(minute, colour)
        self.plan.canvas.show_cursor(minute)
        if minute is not None:
            x = self.plan.canvas.x_of(minute)
            place = self.chart.charge.place.toRect().adjusted(6, 0, -6, 0)
            self.card.stand_beside(x, place)
            self.card.raise_()

    def _dress(self) -> None:
        self.chart.dress_in(Ink.of(self.palette()))
        self.ghost.dress()
        self._draw_cursor()
        self._place_tools()

    def changeEvent(self, event: QEvent) -> None:
        """Take over another palette or another size of text."""
        super().changeEvent(event)
        if event.type() in (QEvent.Type.PaletteChange, QEvent.Type.FontChange):
            self._dress()

    def showEvent(self, event: QShowEvent) -> None:
        """Lay the panes out once there is a size."""
        super().showEvent(event)
        self.chart.lay_out()

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Keep what stands over the curves in its place."""
        super().resizeEvent(event)
        self._place_tools()

    def contextMenuEvent(self, event: QContextMenuEvent) -> None:
        """Offer what can be done with the day."""
        is_zoomed, is_folded = not self.chart.span.is_whole, not self.chart.sun.is_shown
        self.menu.show_state(is_zoomed=is_zoomed, is_folded=is_folded)
        self.menu.popup(event.globalPos())

    def eventFilter(self, watched: object, event: QEvent) -> bool:
        """See where the pointer and the keyboard go."""
        if event.type() == QEvent.Type.Leave and watched is self.chart.viewport():
            self._on_left()
        elif event.type() in (QEvent.Type.FocusIn, QEvent.Type.FocusOut):
            if isinstance(event, QFocusEvent) and event.reason() in BY_TAB:
                self._is_read = event.type() == QEvent.Type.FocusIn
            QTimer.singleShot(0, self, self._on_focus)
        return False

    def _on_focus(self) -> None:
        self._show_card(self._is_pointed)

    def _on_left(self) -> None:
        self._show_card(False)

    def _on_pointed(self, minute: float) -> None:
        window_first()
        if not self._is_pointed:
            self._show_card(True)
        self.read.point(int(minute))
        self._on_moved()

    def _on_copy(self) -> None:
        self.picture_wanted.emit("")

    def _on_png(self) -> None:
        self.picture_wanted.emit("png")

    def _on_svg(self) -> None:
        self.picture_wanted.emit("svg")

    def _on_table(self) -> None:
        if self.chart.comparison is not None:
            QGuiApplication.clipboard().setText(table_text(self.chart.comparison))
            self.said.emit("The curves are on the clipboard: a line for every quarter of an hour")

    def _on_dragged(self, words: str) -> None:
        self.card.say(words)

    def _on_stretch_changed(self) -> None:
        window_first()
        self.whole_button.setVisible(not self.chart.span.is_whole)
        self.plan.follow_span()
        self._place_tools()
        self._draw_cursor()

    def _on_key(self, event: QKeyEvent) -> None:
        window_first()
        wide = bool(event.modifiers() & Qt.KeyboardModifier.ControlModifier)
        key = Qt.Key(event.key())
        by = {
            Qt.Key.Key_Left: -10 if wide else -1,
            Qt.Key.Key_Right: 10 if wide else 1,
            Qt.Key.Key_PageUp: -60,
            Qt.Key.Key_PageDown: 60,
            Qt.Key.Key_Home: -(10**9),
            Qt.Key.Key_End: 10**9,
        }.get(key)
        if by is not None:
            self._is_read = True
            self._show_card(self._is_pointed)
            self.move_cursor(self.read.minute + by)
            self.chart.reveal(self.read.minute)
        elif event.matches(QKeySequence.StandardKey.Copy):
            self.picture_wanted.emit("")
        elif key in (Qt.Key.Key_Plus, Qt.Key.Key_Equal):
            self.zoom_in()
        elif key == Qt.Key.Key_Minus:
            self.zoom_out()
        elif key in (Qt.Key.Key_0, Qt.Key.Key_Escape):
            self.chart.show_whole()
        else:
            return
        event.accept()
