"""Whatever is carried, a station has one side; nothing leaves the margins or covers a letter."""

from __future__ import annotations

import io
import sys
from dataclasses import replace
from functools import cache
from pathlib import Path

import numpy as np
import pytest

from app.printing import PageError, pages_of, write_pages, write_pdf
from app.printing.marks import BODY, STRONG, Text
from app.printing.type import width_of
from model.engine.comparison import Comparison, simulate

sys.path.insert(0, str(Path(__file__).parent))
from awkward_kits import ridge, strained
from page_reading import overprinted, pdf_of, sheets

pytestmark = pytest.mark.usefixtures("qapp")

PAPERS_AND_UNITS = [("a4", "metric"), ("letter", "us"), ("a4", "us"), ("letter", "metric")]
SIZES_POINTS = {"a4": (595.3, 841.9), "letter": (612.0, 792.0)}
STRAINS = {
    "bare": {"extras": 0},
    "twelve": {"extras": 12},
    "thirty": {"extras": 30},
    "a fortnight": {"extras": 12, "days": 14},
    "long names": {"extras": 12, "long_names": True},
    "thirty long names": {"extras": 30, "long_names": True},
    "no panel": {"extras": 5, "panel": False},
    "polar night": {"extras": 5, "polar_night": True},
    "four stations": {"extras": 5, "stations": 4},
    "forty leads": {"extras": 5, "leads": 40, "long_names": True},
    "a hundred extras": {"extras": 100, "stations": 1, "long_names": True},
}


@cache
def compared(strain: str) -> Comparison:
    return simulate(strained(**STRAINS[strain]))


KEPT = ("Wiring and fuses", "Connect in this order", "Cautions", "power lines", "Carry list",
        "A prediction, not a guarantee")  # fmt: skip


# The paper varies within a strain, so that each is run once.
@pytest.mark.parametrize(("strain", "paper", "units"), [
    (strain, paper, units) for strain in STRAINS for paper, units in PAPERS_AND_UNITS
])  # fmt: skip
def test_one_side_for_each_station_and_one_to_compare(strain, paper, units):
    read = sheets(pdf_of(compared(strain), paper=paper, units=units))
    count = len(compared(strain).scenario.stations)
    assert len(read) == count + (count > 1)
    for sheet in read:
        assert (sheet.width, sheet.height) == pytest.approx(SIZES_POINTS[paper], abs=1)
        # Printers leave up to 6.4 mm unprinted (common practice, no source).
        assert min(sheet.ink_margins_mm) >= 6.4
        assert overprinted(sheet) == 0
    for sheet in read[:count]:
        assert all(words in sheet.flat for words in KEPT)


@pytest.mark.parametrize("strain", STRAINS)
def test_a_second_side_holds_the_carry_list(strain):
    read = sheets(pdf_of(compared(strain), second_side=True, station=1))
    assert len(read) == 2
    assert "Carry list" not in read[0].flat
    assert "Carry list" in read[1].flat
    for sheet in read:
        assert min(sheet.ink_margins_mm) >= 6.4
        assert overprinted(sheet) == 0


@pytest.mark.parametrize(("paper", "units"), PAPERS_AND_UNITS)
def test_readings_and_head_of_a_plain_kit_are_not_cut_off(paper, units):
    for sheet in sheets(pdf_of(ridge(), paper=paper, units=units))[:2]:
        text = sheet.flat
        assert "…" not in text[: text.index("1 Verdict")]
        assert "…" not in text[text.index("What the meter should read") : text.index("11 Cautions")]
        assert "10 W, TX 40 %" in text


def test_overprinting_would_be_seen():
    page = pages_of(ridge(), station=1)[0]
    again = (mark.moved(15.0, 0.0) for mark in page.marks[:3])
    doubled = replace(page, marks=(*page.marks, *again))
    stream = io.BytesIO()
    write_pages([doubled], stream, "test")
    assert overprinted(sheets(stream.getvalue())[0]) > 5


@pytest.mark.parametrize("strain", STRAINS)
def test_no_letter_is_smaller_than_nine_points(strain):
    for page in pages_of(compared(strain), second_side=True):
        assert min(mark.style.points for mark in page.marks if isinstance(mark, Text)) >= 9.0


def test_what_does_not_fit_drops_from_the_end_and_is_named():
    full, crowded = (
        sheets(pdf_of(strained(extras=extras), station=1))[0].flat for extras in (0, 20)
    )
    assert "Packed and checked" in full
    assert "Does not fit" not in full
    assert "Packed by" not in crowded
    assert "Does not fit in full: " in crowded
    assert "packed and checked" in crowded
    assert "Power budget" in crowded


def test_a_long_name_stands_in_full_on_the_carry_list():
    scenario = strained(extras=2, long_names=True, days=1)
    name = scenario.stations[0].antenna.name
    text = sheets(pdf_of(scenario, station=1))[0].flat
    assert name in text
    assert "station A, one of 2" in text


def test_figures_have_one_width_so_that_columns_stand_straight():
    for style in (BODY, STRONG):
        assert len({width_of(digit, style) for digit in "0123456789"}) == 1


def test_no_station_of_that_number():
    with pytest.raises(PageError, match="there is no station 3: the scenario has 2 stations"):
        pages_of(ridge(), station=3)


def test_a_file_that_cannot_be_written_is_one_line(tmp_path):
    with pytest.raises(PageError, match=r"^nowhere\.pdf: "):
        write_pdf(ridge(), tmp_path / "missing" / "nowhere.pdf")


def test_ink_outside_the_margins_would_be_seen():
    sheet = sheets(pdf_of(ridge(), station=1))[0]
    spoiled = sheet.ink.copy()
    spoiled[2, 2] = True
    assert min(type(sheet)(sheet.text, sheet.width, sheet.height, np.zeros((0, 4)),
                           spoiled).ink_margins_mm) < 1  # fmt: skip
