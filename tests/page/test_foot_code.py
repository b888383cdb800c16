"""The code at the foot of a page: the mark of the input, drawn as the standard has it."""

from __future__ import annotations

import numpy as np
import pytest
import segno

from app.printing.booklet import pages_of
from app.printing.foot import MODULE
from app.printing.marks import MM, Area, Page, Stroke, Text
from model.export.fingerprint import fingerprint, found_in, read_mark
from tests.page.awkward_kits import ridge

RIDGE = ridge()
EDGE = 5.0 * MM
# ISO/IEC 18004: four modules white on every side.
QUIET = 4 * MODULE


def code_of(page: Page) -> list[Area]:
    return [mark for mark in page.marks if isinstance(mark, Area) and mark.fill == "ink"]


def corners(areas: list[Area]) -> tuple[float, float, float, float]:
    points = np.array([point for area in areas for point in area.points])
    return (*points.min(axis=0), *points.max(axis=0))


def drawn(page: Page) -> list[list[bool]]:
    """Which modules are dark, seen at the middle of each."""
    areas = code_of(page)
    left, top, right, _ = corners(areas)
    modules = round((right - left) / MODULE)
    boxes = [(*area.points[0], *area.points[2]) for area in areas]
    middles = [MODULE * (at + 0.5) for at in range(modules)]
    return [
        [any(x0 < left + x < x1 and y0 < top + y < y1 for x0, y0, x1, y1 in boxes) for x in middles]
        for y in middles
    ]


@pytest.mark.parametrize("paper", ["a4", "letter"])
def test_every_page_bears_the_code_of_its_mark(paper):
    for page in pages_of(RIDGE, paper=paper, log=True):
        mark = fingerprint(RIDGE).upper()
        known = segno.make_qr(mark, error="m").matrix
        assert drawn(page) == [[bool(module) for module in row] for row in known]
        left, top, right, bottom = corners(code_of(page))
        assert min(left, top) > EDGE
        assert right <= page.width - EDGE
        assert bottom <= page.height - EDGE


def test_nothing_stands_in_the_white_about_the_code():
    for page in pages_of(RIDGE, paper="a4", log=True):
        left, top, right, bottom = corners(code_of(page))
        for other in page.marks:
            if isinstance(other, Text):
                low, high = other.y - 10 * other.style.points, other.y
                begin, end = other.x, other.x + other.width
            else:
                if isinstance(other, Area) and other.fill == "ink":
                    continue
                assert isinstance(other, Area | Stroke)
                begin, low, end, high = corners([Area(other.points)])
            is_clear = end <= left - QUIET or begin >= right + QUIET
            assert is_clear or high <= top - QUIET + 1.0 or low >= bottom + QUIET, other


def test_what_the_code_says_is_taken_by_verify():
    mark = read_mark(fingerprint(RIDGE).upper())
    assert found_in(RIDGE, mark)
