"""What is written inside a pane: its title, and words beside moments of its curves."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Protocol

import numpy as np
from numpy.typing import NDArray
from PySide6.QtCore import QRectF, Qt
from PySide6.QtGui import QColor, QPainter
from PySide6.QtWidgets import QGraphicsWidget

from app.charts.fonts import bold_font, measured, note_font
from app.charts.ink import Ink
from app.charts.layer import Layer
from app.charts.span import Span
from app.charts.thinning import Floats

INSET_PX, AWAY_PX = 8.0, 7.0
# How much of what lies under words is hidden by their plate, of 255: on the night alone the
# colours of the stations would be too faint.
PLATE_ALPHA = 215
# How far apart the curves are looked at for what words would cover.
GRID_PX = 3.0


@dataclass(frozen=True)
class PaneLabel:
    """Words beside a moment, at a share of the pane's height from the bottom.

    ``is_bold`` for what must be read; words that are not are left out where they would lie on a
    curve or on other words.
    """

    minute: float
    share: float
    words: str
    colour: QColor
    is_bold: bool = False


class Curve(Protocol):
    """A curve that words should not lie on."""

    @property
    def drawn(self) -> tuple[Floats, Floats]:
        """The points drawn."""


class PaneLabels(Layer):
    """Writes the title into the upper left corner, then each label where it covers least."""

    def __init__(self, span: Span, view: QGraphicsWidget) -> None:
        super().__init__(span, view, 80)
        self._ink: Ink | None = None
        self._title, self._title_share = "", 1.0
        self._labels: tuple[PaneLabel, ...] = ()
        self._floor_words = ""
        self._curves: list[Curve] = []
        self._floors: list[Curve] = []
        self._levels = (0.0, 1.0)
        self._placed_for: tuple[object, ...] = ()
        self._placed: list[tuple[QRectF, PaneLabel]] = []

    def set_title(self, title: str, share: float = 1.0) -> None:
        """Say what the pane shows, with its unit, below a share of its height."""
        if (title, share) != (self._title, self._title_share):
            self._title, self._title_share = title, share
            self._placed_for = ()
            self.update()

    def set_labels(
        self,
        labels: tuple[PaneLabel, ...],
        curves: list[Curve],
        levels: tuple[float, float],
        floors: list[Curve],
        floor_words: str = "",
    ) -> None:
        """Show other words; they keep clear of curves, and of what is hatched below a floor."""
        self._curves, self._levels, self._floors = curves, levels, floors
        self._placed_for = ()
        if (labels, floor_words) != (self._labels, self._floor_words):
            self._labels, self._floor_words = labels, floor_words
        self.update()

    def dress(self, ink: Ink) -> None:
        """Take over other colours, and the size of the program's text."""
        self._ink, self._placed_for = ink, ()
        self.update()

    def places(self) -> list[tuple[QRectF, str]]:
        """Return where the words stand in the scene, and what they are."""
        found = [(box, label.words) for box, label in self._places()]
        if self._title:
            found.append((self._title_box(), self._title))
        if self._floor_words:
            found.append((self._floor_box(), self._floor_words))
        return [(self.mapRectToScene(box), words) for box, words in found]

    def draw(self, painter: QPainter, box: QRectF) -> None:
        """Draw it."""
        if self._ink is None:
            return
        plate = QColor(self._ink.ground)
        plate.setAlpha(PLATE_ALPHA)
        bold, note, title = bold_font(), note_font(), self._title_box()
        painter.fillRect(title.adjusted(-3, 0, 3, 0), plate)
        painter.setFont(bold)
        painter.setPen(self._ink.faint_text)
        flags = Qt.AlignmentFlag.AlignVCenter | Qt.TextFlag.TextDontClip
        painter.drawText(title, flags, self._title)
        if self._floor_words:
            painter.setFont(note)
            place = self._floor_box()
            painter.fillRect(place.adjusted(-3, 0, 3, 0), plate)
            painter.drawText(place, flags, self._floor_words)
        for place, label in self._places():
            painter.fillRect(place.adjusted(-2, 0, 2, 0), plate)
            painter.setFont(bold if label.is_bold else note)
            painter.setPen(label.colour)
            painter.drawText(place, flags, label.words)

    def _title_box(self) -> QRectF:
        font, box = measured(bold_font()), self._view.rect()
        top = box.bottom() - self._title_share * box.height() + 3
        return QRectF(box.left() + INSET_PX + 4, top, font.width_px(self._title), font.height_px)

    def _floor_box(self) -> QRectF:
        font, box = measured(note_font()), self._view.rect()
        width, height = font.width_px(self._floor_words), font.height_px
        return QRectF(box.right() - width - INSET_PX, box.bottom() - height - 2, width, height)

    def _places(self) -> list[tuple[QRectF, PaneLabel]]:
        box = self._view.rect()
        wanted = (box, self._span.low, self._span.high)
        if wanted != self._placed_for:
            self._placed_for = wanted
            self._placed = list(self._place(box))
        return self._placed

    def _place(self, box: QRectF) -> Iterator[tuple[QRectF, PaneLabel]]:
        labels = sorted(
            (each for each in self._labels if self._span.low <= each.minute <= self._span.high),
            key=lambda each: not each.is_bold,
        )
        if not labels:
            return
        wished = [self._around(label, box) for label in labels]
        covered = self._covered(np.concatenate(wished), box)
        taken = [self._title_box()]
        if self._floor_words:
            taken.append(self._floor_box())
        for label, places in zip(labels, wished, strict=True):
            found = _best(places.tolist(), covered, box, taken, label)
            del covered[: len(places)]
            if found is not None:
                taken.append(found)
                yield found, label

    def _around(self, label: PaneLabel, box: QRectF) -> Floats:
        """Return places beside a moment, the usual ones first, shape (places, 4): QRectF's."""
        font = measured(bold_font() if label.is_bold else note_font())
        width, height = font.width_px(label.words), font.height_px
        x, y = self._px(label.minute), box.bottom() - label.share * box.height()
        places = []
        for gap in (AWAY_PX, AWAY_PX + height, AWAY_PX + 2 * height):
            for left in (x - AWAY_PX - width, x + AWAY_PX, x - width / 2):
                places += [(left, y - gap - height), (left, y + gap)]
            places += [(x - gap - width, y - height / 2), (x + gap, y - height / 2)]
        return np.array([(*place, width, height) for place in places])

    def _covered(self, places: Floats, box: QRectF) -> list[int]:
        """Return how much of the curves lies under each place, and of what is below a floor."""
        curves, floors = self._heights_of(self._curves, box), self._heights_of(self._floors, box)
        left, top, width, height = places.T
        begin = ((left - box.left()) / GRID_PX).astype(int)
        end = ((left + width - box.left()) / GRID_PX).astype(int)
        columns = begin[:, None] + np.arange(int((end - begin).max()) + 1)
        is_under = columns <= end[:, None]
        columns = columns.clip(0, curves.shape[1] - 1)
        above = (top - 2).astype(np.int16)[:, None]
        below = (top + height + 2).astype(np.int16)[:, None]
        counts = np.zeros(len(places), dtype=int)
        for row in curves:
            at = row[columns]
            counts += np.count_nonzero((at > above) & (at < below) & is_under, axis=1)
        for row in floors:
            counts += np.count_nonzero((row[columns] < below) & is_under, axis=1)
        found: list[int] = counts.tolist()
        return found

    def _heights_of(self, curves: list[Curve], box: QRectF) -> NDArray[np.int16]:
        """Return how far down each curve lies at every few pixels, shape (curves, places). [px]"""
        low, high = self._levels
        x_px = np.arange(box.left(), box.right() + GRID_PX, GRID_PX)
        share = (x_px - box.left()) / max(box.width(), 1.0)
        minutes = self._span.low + share * (self._span.high - self._span.low)
        drawn = [curve.drawn for curve in curves]
        rows = [np.interp(minutes, x, y) for x, y in drawn if x.size]
        values = np.array(rows).reshape(len(rows), x_px.size)
        down = box.bottom() - (values - low) / (high - low) * box.height()
        return down.clip(-1e4, 1e4).astype(np.int16)


def _best(
    places: list[list[float]],
    covered: list[int],
    box: QRectF,
    taken: list[QRectF],
    label: PaneLabel,
) -> QRectF | None:
    """Return where words cover least; nothing where words of less weight would cover any."""
    room = box.adjusted(2, 1, -2, -1)
    best: tuple[int, QRectF] | None = None
    for place, under in zip(places, covered, strict=False):
        if best is not None and under >= best[0]:
            continue
        found = QRectF(*place)
        if not room.contains(found) or any(found.intersects(each) for each in taken):
            continue
        best = under, found
        if not under:
            break
    if best is None or (best[0] and not label.is_bold):
        return None
    return best[1]
