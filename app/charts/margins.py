"""What is written beside the panes: the names at the ends of the lines."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

from PySide6.QtCore import QLineF, QPointF, QRectF, Qt
from PySide6.QtGui import QColor, QFontMetricsF, QGuiApplication, QPainter, QPen
from PySide6.QtWidgets import QGraphicsItem, QGraphicsWidget, QStyleOptionGraphicsItem, QWidget

from app.charts.fonts import bold_font
from app.charts.ink import Ink
from app.charts.placing import spread


class Margin(QGraphicsWidget):
    """Something drawn in a cell beside the panes."""

    def __init__(self, parent: QGraphicsItem | None = None) -> None:
        super().__init__(parent)
        self._ink: Ink | None = None

    def dress(self, ink: Ink) -> None:
        """Take over other colours, and the size of the program's text."""
        self._ink = ink
        self.fit()
        self.update()

    def fit(self) -> None:
        """Ask for the size that the text needs."""

    def fix_height(self, height_px: float) -> None:
        """Take exactly this height."""
        self.setMinimumHeight(height_px)
        self.setMaximumHeight(height_px)

    def fix_width(self, width_px: float) -> None:
        """Take exactly this width."""
        self.setMinimumWidth(width_px)
        self.setMaximumWidth(width_px)

    def metrics(self) -> QFontMetricsF:
        """Return the measures of the program's text."""
        return QFontMetricsF(QGuiApplication.font())

    def paint(
        self,
        painter: QPainter,
        option: QStyleOptionGraphicsItem,
        widget: QWidget | None = None,
    ) -> None:
        """Draw it."""
        if self._ink is not None:
            painter.setFont(QGuiApplication.font())
            painter.setClipRect(self.rect())
            self.draw(painter, self._ink)

    def draw(self, painter: QPainter, ink: Ink) -> None:
        """Draw it."""
        raise NotImplementedError


@dataclass(frozen=True)
class EndLabel:
    """The words at the end of a line, or of a level; the handle shows that it can be dragged."""

    value: float
    text: str
    colour: QColor
    is_bold: bool = True
    is_handle: bool = False


class EndLabels(Margin):
    """Words at the right end of the lines, moved apart where lines end close together."""

    LEADER_PX = 14.0

    def __init__(self, height_at: Callable[[float], float]) -> None:
        super().__init__()
        self._height_at = height_at
        self._labels: tuple[EndLabel, ...] = ()
        self._reach_px = 0.0

    def keep_within(self, height_px: float) -> None:
        """Stand no lower than this from the top; the rest is for others."""
        if height_px != self._reach_px:
            self._reach_px = height_px
            self.update()

    def set_labels(self, labels: tuple[EndLabel, ...]) -> None:
        """Show other words."""
        if labels == self._labels:
            return
        changed = [label.text for label in labels] != [label.text for label in self._labels]
        self._labels = labels
        if changed:
            self.fit()
        self.update()

    def boundingRect(self) -> QRectF:
        """Return the place it draws in: it touches no pane, so that none is drawn with it."""
        return self.rect().adjusted(2, 0, 0, 0)

    def fit(self) -> None:
        """Ask for the size that the text needs, and that of every reserve and charge alike."""
        metrics = QFontMetricsF(bold_font())
        texts = [label.text for label in self._labels]
        widest = max(metrics.horizontalAdvance(text) for text in ("reserve 100 %", *texts))
        self.fix_width(self.LEADER_PX + min(widest, metrics.averageCharWidth() * 20) + 10)

    def places(self) -> list[tuple[QRectF, str]]:
        """Return where each label stands and what of it is shown."""
        metrics = QFontMetricsF(bold_font())
        height, width = metrics.height(), self.rect().width() - self.LEADER_PX - 4
        low = self._reach_px or self.rect().height()
        middles = spread(self._wished(), [height] * len(self._labels), 0.0, low)
        return [
            (
                QRectF(self.LEADER_PX, middle - height / 2, width, height),
                metrics.elidedText(label.text, Qt.TextElideMode.ElideMiddle, width),
            )
            for label, middle in zip(self._labels, middles, strict=True)
        ]

    def handle_place(self) -> QRectF:
        """Return where the label that can be dragged stands in the scene; empty where none is."""
        for label, (box, _) in zip(self._labels, self.places(), strict=True):
            if label.is_handle:
                return QRectF(self.mapRectToScene(box.adjusted(-6, -1, 0, 1)))
        return QRectF()

    def _wished(self) -> list[float]:
        top = self.mapToScene(QPointF(0, 0)).y()
        return [self._height_at(label.value) - top for label in self._labels]

    def draw(self, painter: QPainter, ink: Ink) -> None:
        """Draw it."""
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        flags = Qt.AlignmentFlag.AlignVCenter | Qt.TextFlag.TextDontClip
        places = self.places()
        for label, wished, (box, text) in zip(self._labels, self._wished(), places, strict=True):
            painter.setPen(QPen(ink.faint_text, 1))
            painter.drawLine(QLineF(2, wished, self.LEADER_PX - 6, box.center().y()))
            if label.is_handle:
                painter.setPen(QPen(ink.faint_text, 1))
                painter.setBrush(ink.ground)
                painter.drawRoundedRect(box.adjusted(-5, 0, -1, 0), 4, 4)
                painter.setBrush(Qt.BrushStyle.NoBrush)
            painter.setFont(bold_font() if label.is_bold else QGuiApplication.font())
            painter.setPen(label.colour)
            painter.drawText(box, flags, text)
