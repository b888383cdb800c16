"""How a block of the plan looks: words first, sending as a hatch, listening as a bar below."""

from __future__ import annotations

from collections.abc import Iterable
from functools import lru_cache

from PySide6.QtCore import QLineF, QRectF, Qt
from PySide6.QtGui import QColor, QPainter, QPen

from app.charts.fonts import Measured, measured
from app.charts.ink import Ink, mixed
from app.editors.plan_strip.words import first_lines, second_lines
from model.scenario.scenario import Block

BAR_PX = 4.0
# One transmission and its pause, in pixels: at a share of 0.5 the hatch lines stand this far apart.
HATCH_PX = 3.5
WIDEST_HATCH_PX = 60.0
# The dashes of the bar: how long the receiver is on and off again, drawn in this length.
DASH_PX = 24.0


def draw_dark(
    painter: QPainter, box: QRectF, stretches: list[tuple[float, float]], colour: QColor
) -> None:
    """Draw night or twilight over the whole height down to the lower edge of the strip."""
    for begin, end in stretches:
        left, right = max(begin, box.left()), min(end, box.right())
        if left < right:
            painter.fillRect(QRectF(left, 0, right - left, box.bottom()), colour)


def draw_frame(painter: QPainter, box: QRectF, ink: Ink) -> None:
    """Draw the edge of the strip and its name beside it."""
    painter.setBrush(Qt.BrushStyle.NoBrush)
    painter.setPen(QPen(ink.faint_text, 1))
    painter.drawRect(box)
    painter.setPen(ink.text)
    name = QRectF(0, box.top(), box.left() - 8, box.height())
    painter.drawText(name, Qt.AlignmentFlag.AlignRight | Qt.AlignmentFlag.AlignVCenter, "Plan")


def draw_block(painter: QPainter, box: QRectF, block: Block, ink: Ink, *, is_chosen: bool) -> None:
    """Draw one piece of a block, without its words."""
    off = block.activity == "off"
    if is_chosen:
        painter.fillRect(box, mixed(ink.ground, ink.accent, 0.22))
    if block.sends:
        _draw_hatch(painter, box, block.transmit_share, ink)
    if not off:
        _draw_bar(painter, box, block.listen_share, ink)
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
    painter.drawLines(_hatch_lines(box.getRect(), hatch_spacing_px(share)))
    painter.restore()


@lru_cache(maxsize=200)
def _hatch_lines(box: tuple[float, float, float, float], spacing: float) -> list[QLineF]:
    """Return the lines over a box; of the blocks of a plan one at a time is moved."""
    left, top, width, height = box
    # Lines start at a place of the whole strip, so that both pieces of a block fit together.
    at = left - height - (left - height) % spacing
    lines = []
    while at < left + width:
        lines.append(QLineF(at, top + height, at + height, top))
        at += spacing
    return lines


def _draw_bar(painter: QPainter, box: QRectF, share: float, ink: Ink) -> None:
    colour = mixed(ink.ground, ink.text, 0.5)
    bar = QRectF(box.left(), box.bottom() - BAR_PX - 1, box.width(), BAR_PX)
    if share >= 1.0:
        painter.fillRect(bar, colour)
        return
    at = bar.left() - bar.left() % DASH_PX
    while share > 0 and at < bar.right():
        dash = QRectF(at, bar.top(), max(DASH_PX * share, 1.0), bar.height()).intersected(bar)
        painter.fillRect(dash, colour)
        at += DASH_PX


def draw_names(painter: QPainter, pieces: list[tuple[QRectF, Block]], ink: Ink) -> None:
    """Draw what each block is and, below, what it sends; no words lie on others.

    What sends too shortly to hold its power has it written beside it, over the watch that follows.
    """
    writer = _Writer(painter, ink)
    in_time = sorted(pieces, key=lambda piece: piece[0].left())
    sending = [each for each in in_time if each[1].sends]
    last = max((box.right() for box, _ in pieces), default=0.0)
    nexts = [box.left() for box, _ in sending[1:]]
    for (box, block), next_px in zip(sending, [*nexts, last], strict=False):
        writer.write_sending(box, block, next_px)
    for box, block in in_time:
        if not block.sends:
            writer.write_lines(box, first_lines(block), second_lines(block))


class _Writer:
    """Writes words on the two lines of the strip, unless others stand there already."""

    def __init__(self, painter: QPainter, ink: Ink) -> None:
        self._painter, self._ink = painter, ink
        self._measured = measured(painter.font())
        self._placed: list[QRectF] = []

    def write_sending(self, box: QRectF, block: Block, next_px: float) -> None:
        names = first_lines(block)
        if longest_fitting(names, box.width() - 8, self._measured):
            self.write_lines(box, names, second_lines(block), on_hatch=True)
            return
        # The mark points back at the block: the words stand over another.
        pointing = [f"◂ {name}" for name in names]
        beside = longest_fitting(pointing, next_px - box.right() - 8, self._measured)
        self._write(box.right() + 4, box.top(), 1, beside, on_hatch=False)

    def write_lines(
        self, box: QRectF, first: Iterable[str], second: Iterable[str], *, on_hatch: bool = False
    ) -> None:
        for line, texts in enumerate((first, second)):
            text = longest_fitting(texts, box.width() - 8, self._measured)
            self._write(box.left() + 4, box.top(), line, text, on_hatch=on_hatch)

    def _write(self, left: float, top: float, line: int, text: str, *, on_hatch: bool) -> None:
        width, height = self._measured.width_px(text), self._measured.height_px
        place = QRectF(left, top + 2 + line * height, width, height)
        plate = place.adjusted(-2, 0, 2, 0)
        if not text or any(plate.intersects(other) for other in self._placed):
            return
        self._placed.append(plate)
        if on_hatch:
            self._painter.fillRect(plate, self._ink.ground)
        self._painter.setPen(self._ink.text)
        self._painter.drawText(place, Qt.AlignmentFlag.AlignLeft | Qt.TextFlag.TextDontClip, text)


def longest_fitting(texts: Iterable[str], room_px: float, font: Measured) -> str:
    """Return the first text that fits, an empty one where none does."""
    return next((text for text in texts if font.width_px(text) <= room_px), "")
