"""Paints a map on anything that can be painted on: hatch, lines with their words, and markers."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from itertools import pairwise

from PySide6.QtCore import QLineF, QPointF, QRectF, Qt
from PySide6.QtGui import QColor, QFont, QFontMetricsF, QPainter, QPen, QPolygonF

from app.charts.frame import Frame
from app.charts.hatch import Hatch, box, hatch_lines
from app.charts.ink import Ink, mixed
from app.charts.map_picture import Curve, MapPicture, Mark, Patch
from app.charts.markers import draw_shape
from app.charts.scale import room_across, room_up
from app.widgets.tokens import station_style

HATCH_PX = 7.0
TICK_PX = 4.0
SOLD_PX = 7.0
MARK_PX = 7.0
# How much wider the ring of the next marker at the same place is.
RING_PX = 5.0


@dataclass(frozen=True)
class MapFrame(Frame):
    """Where a map stands: the frame of its field, for a size and a font."""

    picture: MapPicture

    @classmethod
    def of(cls, picture: MapPicture, size: QRectF, font: QFont) -> MapFrame:
        """Leave room for numbers, titles and the legend around the field."""
        metrics = QFontMetricsF(font)
        line_px = metrics.height()
        room = room_up(size.height(), line_px)
        widest = max(
            (metrics.horizontalAdvance(text) for _, text in picture.up.ticks(room)), default=0.0
        )
        left = line_px + widest + 14
        bottom = 2 * line_px + 12 + line_px * 1.35 * len(_legend_rows(picture, size, metrics))
        field = size.adjusted(left, line_px * 0.6, -line_px, -bottom)
        return cls(picture.across, picture.up, field, picture)


def paint_map(painter: QPainter, frame: MapFrame, size: QRectF, ink: Ink, font: QFont) -> None:
    """Paint all of a map but the cursor and the ground."""
    painter.setFont(font)
    painter.setRenderHint(QPainter.RenderHint.Antialiasing, on=False)
    for patch in frame.picture.patches:
        _paint_patch(painter, frame, patch, ink)
    _paint_scales(painter, frame, ink)
    _paint_sold(painter, frame, ink)
    painter.setRenderHint(QPainter.RenderHint.Antialiasing)
    places = mark_places(frame)
    taken = [QRectF(at.x() - 12, at.y() - 20, 34, 32) for at, _ in places]
    for curve in frame.picture.curves:
        _paint_curve(painter, frame, curve, ink, taken)
    for mark, (place, ring) in zip(frame.picture.marks, places, strict=True):
        paint_mark(painter, place, mark, ink, ring)
    _paint_legend(painter, frame, size, ink)


def mark_places(frame: MapFrame) -> list[tuple[QPointF, int]]:
    """Return where each station truly stands, and how many markers lie within its own.

    A marker that would hide an earlier one becomes a ring around it.
    """
    places: list[tuple[QPointF, int]] = []
    for mark in frame.picture.marks:
        place = frame.at((mark.x, mark.y))
        within = [
            ring
            for other, ring in places
            if QLineF(place, other).length() < 2 * MARK_PX + RING_PX * ring
        ]
        places.append((place, max(within) + 1 if within else 0))
    return places


def patch_tone(ink: Ink) -> QColor:
    """Return the second tone of a map."""
    return mixed(ink.ground, ink.text, 0.10)


def hatch_tone(ink: Ink) -> QColor:
    """Return the colour of hatching."""
    return mixed(ink.ground, ink.text, 0.45)


def _paint_patch(painter: QPainter, frame: MapFrame, patch: Patch, ink: Ink) -> None:
    outlines = [tuple(frame.at(point) for point in outline) for outline in patch.outlines]
    if patch.is_toned:
        painter.setPen(Qt.PenStyle.NoPen)
        painter.setBrush(patch_tone(ink))
        for outline in outlines:
            painter.drawPolygon(QPolygonF(list(outline)))
    painter.setPen(QPen(hatch_tone(ink), 1))
    painter.drawLines(hatch_lines(outlines, patch.hatch, HATCH_PX))


def _paint_scales(painter: QPainter, frame: MapFrame, ink: Ink) -> None:
    field, picture = frame.field, frame.picture
    metrics = QFontMetricsF(painter.font())
    line_px = metrics.height()
    painter.setBrush(Qt.BrushStyle.NoBrush)
    painter.setPen(QPen(ink.faint_text, 1))
    painter.drawRect(field)
    across = picture.across.ticks(room_across(field.width(), line_px))
    for value, text in across:
        x = frame.at((value, picture.up.low)).x()
        painter.setPen(QPen(ink.faint_text, 1))
        painter.drawLine(QLineF(x, field.bottom(), x, field.bottom() + TICK_PX))
        painter.setPen(ink.text)
        place = QRectF(x - 60, field.bottom() + TICK_PX, 120, line_px)
        painter.drawText(place, Qt.AlignmentFlag.AlignHCenter, text)
    for value, text in picture.up.ticks(room_up(field.height(), line_px)):
        y = frame.at((picture.across.low, value)).y()
        painter.setPen(QPen(ink.faint_text, 1))
        painter.drawLine(QLineF(field.left() - TICK_PX, y, field.left(), y))
        painter.setPen(ink.text)
        place = QRectF(field.left() - 126, y - line_px / 2, 120, line_px)
        painter.drawText(place, Qt.AlignmentFlag.AlignRight | Qt.AlignmentFlag.AlignVCenter, text)
    below = QRectF(
        field.left() - 60, field.bottom() + TICK_PX + line_px, field.width() + 60, line_px * 1.1
    )
    painter.drawText(below, Qt.AlignmentFlag.AlignHCenter, picture.across.title)
    painter.save()
    painter.translate(2, field.center().y())
    painter.rotate(-90)
    long_px = max(field.height(), metrics.horizontalAdvance(picture.up.title)) + 20
    painter.drawText(
        QRectF(-long_px / 2, 0, long_px, line_px), Qt.AlignmentFlag.AlignHCenter, picture.up.title
    )
    painter.restore()


def _paint_sold(painter: QPainter, frame: MapFrame, ink: Ink) -> None:
    """Paint a short thick line inwards from the frame at each size that can be bought."""
    field, picture = frame.field, frame.picture
    painter.setPen(QPen(ink.text, 2))
    for value in picture.sold_across:
        if picture.across.low <= value <= picture.across.high:
            x = frame.at((value, picture.up.low)).x()
            painter.drawLine(QLineF(x, field.bottom() - SOLD_PX, x, field.bottom()))
    for value in picture.sold_up:
        if picture.up.low <= value <= picture.up.high:
            y = frame.at((picture.across.low, value)).y()
            painter.drawLine(QLineF(field.left(), y, field.left() + SOLD_PX, y))


def _paint_curve(
    painter: QPainter, frame: MapFrame, curve: Curve, ink: Ink, taken: list[QRectF]
) -> None:
    colour = ink.faint_text if curve.station is None else ink.station(curve.station)
    places = [frame.at(point) for point in curve.points]
    painter.setPen(QPen(colour, curve.width_px, curve.style))
    painter.setBrush(Qt.BrushStyle.NoBrush)
    painter.drawPolyline(QPolygonF(places))
    if not curve.label or len(places) < 2:
        return
    metrics = QFontMetricsF(painter.font())
    width, height = metrics.horizontalAdvance(curve.label) + 6, metrics.height()
    for place in _label_places(places):
        room = QRectF(place.x() - width / 2, place.y() - height / 2, width, height)
        if frame.field.contains(room) and not any(room.intersects(other) for other in taken):
            taken.append(room)
            painter.fillRect(room, ink.ground)
            painter.setPen(ink.text if curve.station is None else colour)
            painter.drawText(room, Qt.AlignmentFlag.AlignCenter, curve.label)
            return


def _label_places(places: list[QPointF]) -> Iterator[QPointF]:
    """Yield places along a line for its words, from its middle outwards."""
    lengths = [0.0]
    for one, other in pairwise(places):
        lengths.append(lengths[-1] + QLineF(one, other).length())
    for share in (0.5, 0.4, 0.6, 0.3, 0.7, 0.2, 0.8, 0.1, 0.9):
        wanted = share * lengths[-1]
        after = max(next(i for i, length in enumerate(lengths) if length >= wanted), 1)
        stretch = lengths[after] - lengths[after - 1]
        part = (wanted - lengths[after - 1]) / stretch if stretch > 0 else 0.0
        yield places[after - 1] + (places[after] - places[after - 1]) * part


def paint_mark(painter: QPainter, place: QPointF, mark: Mark, ink: Ink, ring: int = 0) -> None:
    """Paint the marker of a station, as a ring where others lie within, with its letter beside."""
    style = station_style(mark.station)
    r = MARK_PX + RING_PX * ring
    if ring:
        painter.setPen(QPen(ink.station(mark.station), 2.5))
        painter.setBrush(Qt.BrushStyle.NoBrush)
    else:
        painter.setPen(QPen(ink.ground, 1.5))
        painter.setBrush(ink.station(mark.station))
    draw_shape(painter, place, style.marker, r)
    text = f"{style.letter} {mark.note}".rstrip()
    metrics = QFontMetricsF(painter.font())
    width, height = metrics.horizontalAdvance(text) + 4, metrics.height()
    # Letters of markers around one place stand one above the other.
    room = QRectF(place.x() + r + 2, place.y() - height * (1 + ring), width, height)
    painter.fillRect(room, ink.ground)
    painter.setPen(ink.text)
    painter.drawText(room, Qt.AlignmentFlag.AlignCenter, text)


def _legend_rows(
    picture: MapPicture, size: QRectF, metrics: QFontMetricsF
) -> list[list[tuple[Hatch, bool, str]]]:
    rows: list[list[tuple[Hatch, bool, str]]] = []
    used_px = size.width()
    for entry in picture.legend:
        needs_px = metrics.horizontalAdvance(entry[2]) + 3.5 * metrics.height()
        if used_px + needs_px > size.width():
            rows.append([])
            used_px = 0.0
        rows[-1].append(entry)
        used_px += needs_px
    return rows


def _paint_legend(painter: QPainter, frame: MapFrame, size: QRectF, ink: Ink) -> None:
    metrics = QFontMetricsF(painter.font())
    line_px = metrics.height()
    y = frame.field.bottom() + 2 * line_px + 10
    for row in _legend_rows(frame.picture, size, metrics):
        paint_key(painter, QPointF(size.left() + line_px, y), row, ink)
        y += line_px * 1.35


def paint_key(
    painter: QPainter, at: QPointF, entries: Iterable[tuple[Hatch, bool, str]], ink: Ink
) -> None:
    """Paint what hatches mean, one after the other on a line of text that begins at a place."""
    metrics = QFontMetricsF(painter.font())
    x, line_px = at.x(), metrics.height()
    for hatch, is_toned, words in entries:
        swatch = QRectF(x, at.y() + 1, 1.6 * line_px, line_px - 2)
        paint_swatch(painter, swatch, hatch, ink, is_toned=is_toned)
        painter.setPen(ink.text)
        place = QRectF(swatch.right() + 5, at.y(), metrics.horizontalAdvance(words) + 6, line_px)
        painter.drawText(place, Qt.AlignmentFlag.AlignLeft, words)
        x = place.right() + line_px


def paint_swatch(
    painter: QPainter, swatch: QRectF, hatch: Hatch, ink: Ink, *, is_toned: bool
) -> None:
    """Paint a piece of a region with its hatch."""
    painter.setRenderHint(QPainter.RenderHint.Antialiasing, on=False)
    painter.fillRect(swatch, patch_tone(ink) if is_toned else ink.ground)
    painter.setPen(QPen(hatch_tone(ink), 1))
    painter.drawLines(hatch_lines([box(swatch)], hatch, HATCH_PX - 2))
    painter.setBrush(Qt.BrushStyle.NoBrush)
    painter.setPen(QPen(ink.faint_text, 1))
    painter.drawRect(swatch)
    painter.setRenderHint(QPainter.RenderHint.Antialiasing)
