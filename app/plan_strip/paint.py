"""How a block of the plan looks: words first, sending as a hatch, listening as a bar below."""

from __future__ import annotations

from collections.abc import Iterable

from PySide6.QtCore import QLineF, QRectF, Qt
from PySide6.QtGui import QColor, QFontMetricsF, QPainter, QPen

from app.charts.ink import Ink, mixed
from app.plan_strip.words import first_lines, second_lines
from model.scenario.scenario import Block

BAR_PX = 4.0
# One transmission and its pause, in pixels: at a share of 0.5 the hatch lines stand this far apart.
HATCH_PX = 3.5
WIDEST_HATCH_PX = 60.0
# The dashes of the bar: how long the receiver is on and off again, drawn in this length.
DASH_PX = 24.0


def draw_block(painter: QPainter, box: QRectF, block: Block, ink: Ink, *, is_chosen: bool) -> None:
    """Draw one piece of a block."""
    off = block.activity == "off"
    ground = mixed(ink.ground, ink.accent, 0.22 if is_chosen else 0.0)
    if is_chosen:
        painter.fillRect(box, ground)
    if block.sends:
        _draw_hatch(painter, box, block.transmit_share, ink)
    if not off:
        _draw_bar(painter, box, block.listen_share, ink)
    _draw_words(painter, box, block, ink, ground if block.sends else None)
    painter.setBrush(Qt.BrushStyle.NoBrush)
    style = Qt.PenStyle.DashLine if off else Qt.PenStyle.SolidLine
    painter.setPen(QPen(ink.accent if is_chosen else ink.text, 2.5 if is_chosen else 1.0, style))
    painter.drawRect(box.adjusted(0.5, 0.5, -0.5, -0.5))


def hatch_spacing_px(transmit_share: float) -> float:
    """Return how far apart the hatch lines stand: the more is sent, the closer."""
    return min(max(HATCH_PX / max(transmit_share, 1e-3), HATCH_PX), WIDEST_HATCH_PX)


def _draw_hatch(painter: QPainter, box: QRectF, share: float, ink: Ink) -> None:
    painter.save()
    painter.setClipRect(box)
    painter.setRenderHint(QPainter.RenderHint.Antialiasing)
    painter.setPen(QPen(mixed(ink.ground, ink.text, 0.55), 1.2))
    spacing = hatch_spacing_px(share)
    height = box.height()
    # Lines start at a place of the whole strip, so that both pieces of a block fit together.
    at = box.left() - height - (box.left() - height) % spacing
    lines = []
    while at < box.right():
        lines.append(QLineF(at, box.bottom(), at + height, box.top()))
        at += spacing
    painter.drawLines(lines)
    painter.restore()


def _draw_bar(painter: QPainter, box: QRectF, share: float, ink: Ink) -> None:
    colour = ink.station(0)
    bar = QRectF(box.left(), box.bottom() - BAR_PX - 1, box.width(), BAR_PX)
    if share >= 1.0:
        painter.fillRect(bar, colour)
        return
    at = bar.left() - bar.left() % DASH_PX
    while share > 0 and at < bar.right():
        dash = QRectF(at, bar.top(), max(DASH_PX * share, 1.0), bar.height()).intersected(bar)
        painter.fillRect(dash, colour)
        at += DASH_PX


def _draw_words(
    painter: QPainter, box: QRectF, block: Block, ink: Ink, plate: QColor | None
) -> None:
    """Draw what fits; over a hatch the words stand on a plate."""
    metrics = QFontMetricsF(painter.font())
    room = box.width() - 8
    top = box.top() + 3
    for texts in (first_lines(block), second_lines(block)):
        text = longest_fitting(texts, room, metrics)
        if text:
            width = metrics.horizontalAdvance(text)
            place = QRectF(box.left() + 4, top, width, metrics.height())
            if plate is not None:
                painter.fillRect(place.adjusted(-2, 0, 2, 0), plate)
            painter.setPen(ink.text)
            painter.drawText(place, Qt.AlignmentFlag.AlignLeft | Qt.TextFlag.TextDontClip, text)
        top += metrics.height()


def longest_fitting(texts: Iterable[str], room_px: float, metrics: QFontMetricsF) -> str:
    """Return the first text that fits, an empty one where none does."""
    return next((text for text in texts if metrics.horizontalAdvance(text) <= room_px), "")
