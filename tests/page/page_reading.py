"""Read a PDF back with a reader that is no part of the program: text, letters, ink."""

from __future__ import annotations

import io
from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from dataclasses import dataclass
from functools import cached_property

import numpy as np
import pypdfium2 as pdfium

from app.printing import pages_of, write_pages
from model.engine.comparison import Comparison
from model.scenario.scenario import Scenario

POINTS_PER_MM = 72 / 25.4
RENDER_SCALE = 2.0


@dataclass(frozen=True)
class Sheet:
    """One page as the reader sees it; its letters and its ink are read when they are asked for."""

    data: bytes
    number: int
    text: str
    width: float
    height: float

    @property
    def flat(self) -> str:
        """The text with single spaces."""
        return " ".join(self.text.split())

    @cached_property
    def letters(self) -> np.ndarray:
        """Boxes (left, bottom, right, top) of all visible letters, in points from the lower left
        corner.
        """
        with self._page() as page:
            textpage = page.get_textpage()
            boxes = [
                textpage.get_charbox(index)
                for index in range(textpage.count_chars())
                if textpage.get_text_range(index, 1).strip()
            ]
            textpage.close()
        return np.array(boxes)

    @cached_property
    def ink(self) -> np.ndarray:
        """True where the page is not white, row 0 at the top."""
        with self._page() as page:
            grey = page.render(scale=RENDER_SCALE, grayscale=True).to_numpy()
            return np.squeeze(grey) < 250

    @property
    def ink_margins_mm(self) -> tuple[float, float, float, float]:
        """White at the left, top, right and bottom."""
        return margins_mm(self.ink)

    @contextmanager
    def _page(self) -> Iterator[pdfium.PdfPage]:
        document = pdfium.PdfDocument(self.data)
        page = document[self.number]
        try:
            yield page
        finally:
            page.close()
            document.close()


def margins_mm(ink: np.ndarray) -> tuple[float, float, float, float]:
    """White at the left, top, right and bottom of a page with this ink."""
    rows, columns = np.flatnonzero(ink.any(axis=1)), np.flatnonzero(ink.any(axis=0))
    high, wide = ink.shape
    pixels = (columns[0], rows[0], wide - 1 - columns[-1], high - 1 - rows[-1])
    left, top, right, bottom = (float(n) / RENDER_SCALE / POINTS_PER_MM for n in pixels)
    return left, top, right, bottom


def pdf_of(sources: Scenario | Comparison | Sequence[Scenario], **options) -> bytes:
    """Return the bytes of the PDF that these options make."""
    stream = io.BytesIO()
    write_pages(pages_of(sources, **options), stream, "test")
    return stream.getvalue()


def sheets(data: bytes) -> list[Sheet]:
    """Read every page of a PDF."""
    document = pdfium.PdfDocument(data)
    try:
        return [_sheet(data, number, page) for number, page in enumerate(document)]
    finally:
        document.close()


def _sheet(data: bytes, number: int, page: pdfium.PdfPage) -> Sheet:
    textpage = page.get_textpage()
    found = Sheet(data, number, textpage.get_text_range(), *page.get_size())
    textpage.close()
    page.close()
    return found


BAND_POINTS = 24.0


def overprinted(sheet: Sheet) -> int:
    """Return how many pairs of letters lie over each other by more than a hair."""
    found = 0
    for low in np.arange(0.0, sheet.height, BAND_POINTS):
        bottom = sheet.letters[:, 1] if sheet.letters.size else np.zeros(0)
        reached = (bottom >= low - BAND_POINTS) & (bottom < low + BAND_POINTS)
        first = (bottom >= low) & (bottom < low + BAND_POINTS)
        found += _pairs(sheet.letters[first], sheet.letters[reached])
    return found


def _pairs(ones: np.ndarray, others: np.ndarray) -> int:
    """Return how many of the first lie over one of the second that does not start above it."""
    left, bottom, right, top = (ones[:, [side]] for side in range(4))
    other_left, other_bottom, other_right, other_top = others.T
    wide = np.minimum(right, other_right) - np.maximum(left, other_left)
    high = np.minimum(top, other_top) - np.maximum(bottom, other_bottom)
    before = (other_bottom < bottom) | ((other_bottom == bottom) & (other_left < left))
    return int(((wide > 0.6) & (high > 0.6) & before).sum())
