"""The side of a class that the room sees: a column of large text and one picture."""

from __future__ import annotations

from collections.abc import Sequence

from PySide6.QtCore import QRect
from PySide6.QtGui import QColor, QPalette, QResizeEvent
from PySide6.QtWidgets import QWidget

from app.classroom.big_text import LEAST_SHARE, BigText, least_px
from app.classroom.curve_pad import CurvePad
from app.classroom.dots_picture import DotsPicture
from app.classroom.drawn import DrawnPicture
from app.classroom.narrowing_picture import NarrowingPicture
from app.classroom.picture import Picture
from app.classroom.progress import Progress
from app.classroom.results_picture import ResultsPicture
from app.classroom.vote_bars import VoteBars

MARGIN_SHARE = 24
# Beside a drawing the text keeps this share of the width.
BESIDE_SHARE = 0.62


class Projected(QWidget):
    """Lays out what is shown: texts in their size from the top, the picture in what is left."""

    def __init__(self) -> None:
        super().__init__()
        self.heading = BigText(LEAST_SHARE, quiet=True)
        self.question = BigText(22, quiet=True, on_top=True)
        self.main = BigText(13, bold=True, on_top=True)
        self.more = BigText(20, quiet=True, on_top=True)
        self.listed = BigText(17, on_top=True)
        self.said = BigText(22, bold=True, on_top=True)
        self.counted = BigText(6, bold=True)
        self.notes = BigText(26, quiet=True, on_top=True)
        self.foot = BigText(LEAST_SHARE, quiet=True)
        self.dots, self.votes, self.result = DotsPicture(), VoteBars(), ResultsPicture()
        self.pad, self.narrowing, self.drawn = CurvePad(), NarrowingPicture(), DrawnPicture()
        self.progress = Progress()
        self._offered = ""
        self._dark = _Darkness(self)
        # From the top; a picture takes what the texts leave.
        self._column: tuple[BigText | Picture, ...] = (
            self.question, self.main, self.more, self.listed, self.dots, self.votes, self.pad,
            self.result, self.narrowing, self.said, self.counted, self.notes,
        )  # fmt: skip
        for widget in (self.heading, *self._column, self.drawn, self.foot, self.progress):
            widget.setParent(self)
        self.setAutoFillBackground(True)
        self.clear()

    @property
    def texts(self) -> tuple[BigText, ...]:
        """All texts, from the top."""
        column = [each for each in self._column if isinstance(each, BigText)]
        return (self.heading, *column, self.foot)

    @property
    def pictures(self) -> tuple[Picture, ...]:
        """All pictures."""
        column = [each for each in self._column if isinstance(each, Picture)]
        return (*column, self.drawn, self.progress)

    @property
    def is_dark(self) -> bool:
        """Whether the screen is covered, so that the room looks at the speaker."""
        return not self._dark.isHidden()

    def cover(self, *, dark: bool) -> None:
        """Cover the screen, or show it again."""
        self._dark.setGeometry(self.rect())
        self._dark.setVisible(dark)
        self._dark.raise_()

    def clear(self) -> None:
        """Begin from nothing, so that no screen can show another's."""
        for text in self.texts:
            text.set_text("")
            text.hide()
        for picture in self.pictures:
            picture.forget()
            picture.hide()
        self._offered = ""
        self.setAccessibleName("")

    def say(self, text: BigText, words: str) -> None:
        """Show words in one of the texts; none hide it."""
        text.set_text(words)
        text.setVisible(bool(words))

    def offer(self, words: str) -> None:
        """Show words at the foot where they have room in one line; they are no loss."""
        self._offered = words

    def put(self, picture: Picture) -> None:
        """Show a picture that has been given what it shows."""
        picture.show()

    def finish(self) -> None:
        """Lay out what is shown, and let a screen reader say all of it."""
        self.arrange()
        if self._offered:
            self.say(self.foot, self._offered)
            if self.foot.is_clipped:
                self.say(self.foot, "")
        self.setAccessibleName("\n".join(each.text for each in self.texts if each.text))

    def arrange(self) -> None:
        """Give everything shown its place."""
        px = least_px(self)
        side = max(self.window().width(), self.width()) // MARGIN_SHARE
        wide = self.width() - 2 * side
        line = round(px * 1.5)
        self.heading.setGeometry(side, round(px * 0.6), wide, line)
        bottom = self.height() - line - round(px * 0.5)
        has_place = self.progress.has_something()
        place_px = round(px * 16) if has_place else 0
        self.foot.setGeometry(side, bottom, wide - place_px, line)
        self.progress.setGeometry(side + wide - place_px, bottom, place_px, line)
        top = round(px * 0.6) + line + round(px * 0.5)
        field = QRect(side, top, wide, bottom - top - round(px * 0.3))
        self._stack([each for each in self._column if not each.isHidden()], field)

    def _stack(self, shown: Sequence[BigText | Picture], field: QRect) -> None:
        gap = round(least_px(self) * 0.5)
        texts = [each for each in shown if isinstance(each, BigText)]
        pictures = [each for each in shown if isinstance(each, Picture)]
        narrow = self._beside_drawing(texts, field, gap)
        wanted = [text.height_for(narrow) for text in texts]
        least = [min(text.height_for(narrow, LEAST_SHARE), most)
                 for text, most in zip(texts, wanted, strict=True)]  # fmt: skip
        room = field.height() - gap * max(len(shown) - 1, 0)
        room -= sum(round(picture.lines_least * least_px(self)) for picture in pictures)
        spare = sum(wanted) - sum(least)
        share = min(max((room - sum(least)) / spare, 0.0), 1.0) if spare else 0.0
        heights = {
            id(text): round(low + (high - low) * share)
            for text, low, high in zip(texts, least, wanted, strict=True)
        }
        left = field.height() - gap * max(len(shown) - 1, 0) - sum(heights.values())
        y = field.top()
        for each in shown:
            high = heights.get(id(each), max(left, 0) // max(len(pictures), 1))
            each.setGeometry(field.left(), y, narrow, high)
            y += high + gap

    def _beside_drawing(self, texts: Sequence[BigText], field: QRect, gap: int) -> int:
        """Give a drawing its place, and return the width left for the texts. [px]

        It gets none where the texts would not fit beside it: they matter more.
        """
        if self.drawn.isHidden():
            return field.width()
        narrow = round(field.width() * BESIDE_SHARE)
        least = sum(text.height_for(narrow, LEAST_SHARE) for text in texts)
        if least + gap * max(len(texts) - 1, 0) > field.height():
            self.drawn.setGeometry(field.right(), field.top(), 0, 0)
            return field.width()
        beside = field.width() - narrow - 2 * gap
        high = min(field.height(), round(beside * 0.9))
        top = field.top() + (field.height() - high) // 2
        self.drawn.setGeometry(field.right() - beside, top, beside, high)
        return narrow

    def resizeEvent(self, event: QResizeEvent) -> None:
        super().resizeEvent(event)
        self.arrange()
        self._dark.setGeometry(self.rect())


class _Darkness(QWidget):
    """Covers the screen; any key ends it."""

    def __init__(self, page: QWidget) -> None:
        super().__init__(page)
        palette = QPalette()
        palette.setColor(QPalette.ColorRole.Window, QColor(0, 0, 0))
        self.setPalette(palette)
        self.setAutoFillBackground(True)
        self.setAccessibleName("Dark screen; any key ends it")
        self.hide()

    def mousePressEvent(self, event: object) -> None:
        self.hide()
