"""Whatever is carried, a station has one side; nothing leaves the margins or covers a letter."""

from __future__ import annotations

import io
import sys
from dataclasses import replace
from functools import cache
from pathlib import Path

import pytest

from app.printing import PageError, pages_of, write_pages, write_pdf
from app.printing.flow import Block, fits, flowed
from app.printing.marks import BODY, MM, STRONG, Area, Page, Text, single
from app.printing.table import Column, table_parts
from app.printing.type import width_of
from model.engine.comparison import Comparison, simulate
from model.export.kit_page import kit_of
from model.files.scenario_file import read_scenario
from model.support.figures import day_text

sys.path.insert(0, str(Path(__file__).parent))
from awkward_kits import ROOT, ridge, strained
from page_reading import Sheet, margins_mm, overprinted, pdf_of, sheets

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


def paper_and_units(strain: str) -> tuple[str, str]:
    """Paper and units vary from strain to strain."""
    return PAPERS_AND_UNITS[list(STRAINS).index(strain) % len(PAPERS_AND_UNITS)]


@cache
def paged(strain: str) -> list[Page]:
    paper, units = paper_and_units(strain)
    return pages_of(compared(strain), paper=paper, units=units)


@cache
def printed(strain: str) -> list[Sheet]:
    stream = io.BytesIO()
    write_pages(paged(strain), stream, "test")
    return sheets(stream.getvalue())


def assert_margins(sheet) -> None:
    """Nothing leaves the margins; at the bottom the code reaches to 5 mm from the edge."""
    *others, bottom = sheet.ink_margins_mm
    assert min(others) >= 6.4
    assert bottom >= 4.8


FRONT = ("Danger.", "power lines", "Battery low", "How it goes together", "Set up", "The day",
         "If it won't", "A prediction, not a guarantee")  # fmt: skip
BACK = ("Verdict", "Carry:", "Wiring and fuses", "Settings this page assumes", "Cautions",
        "A prediction, not a guarantee")  # fmt: skip
# Strains that one sheet has no room for go on, on further sides.
LONG = {"twelve", "thirty", "a fortnight", "long names", "thirty long names", "forty leads",
        "a hundred extras"}  # fmt: skip


@pytest.mark.parametrize("strain", STRAINS)
def test_one_sheet_for_each_station_and_nothing_left_out(strain):
    pages, read = paged(strain), printed(strain)
    count = len(compared(strain).scenario.stations)
    size = SIZES_POINTS[paper_and_units(strain)[0]]
    if strain not in LONG:
        kits = [page for page in pages if not page.title.startswith("Comparison")]
        assert len(kits) == 2 * count
    for sheet in read:
        assert (sheet.width, sheet.height) == pytest.approx(size, abs=1)
        # Printers leave up to 6.4 mm unprinted (common practice, no source).
        assert_margins(sheet)
        assert overprinted(sheet) == 0
    for side, words in (("front", FRONT), ("back", BACK)):
        texts = [
            sheet.flat for page, sheet in zip(pages, read, strict=True) if f", {side}" in page.title
        ]
        assert texts
        whole = " ".join(texts)
        for each in words:
            assert whole.count(each) >= count, each


@pytest.mark.parametrize("path", sorted((ROOT / "scenarios").glob("*.toml")), ids=lambda p: p.stem)
def test_each_kit_that_ships_has_one_sheet_on_both_papers(path):
    comparison = simulate(read_scenario(path))
    for paper, units in (("a4", "metric"), ("letter", "us")):
        pages = pages_of(comparison, paper=paper, units=units)
        sides = [page.title.rpartition(", ")[2] for page in pages]
        kits = [side for side in sides if side.startswith(("front", "back"))]
        assert kits == ["front", "back"] * len(comparison.scenario.stations)
        texts = [mark.text for page in pages for mark in page.marks if isinstance(mark, Text)]
        assert not any("…" in text for text in texts)


@pytest.mark.parametrize("strain", STRAINS)
def test_nothing_is_cut_and_every_text_is_in_the_file(strain):
    for page, sheet in zip(paged(strain), printed(strain), strict=True):
        found = "".join(sheet.text.split())
        for mark in page.marks:
            if isinstance(mark, Text):
                assert not mark.text.endswith("…") or mark.text == page.marks[-1].text, mark.text
                assert "".join(mark.text.split()) in found, mark.text


@pytest.mark.parametrize("strain", ["bare", "a fortnight"])
def test_the_field_log_has_a_line_for_every_dusk_midnight_and_dawn(strain):
    pages = pages_of(compared(strain), station=1, log=True)
    logs = [page for page in pages if page.title.endswith("field log")]
    assert (len(logs) == 1) is (strain == "bare")
    marks = [mark for page in logs for mark in page.marks if isinstance(mark, Text)]
    texts = [mark.text.replace("\N{NO-BREAK SPACE}", " ") for mark in marks]
    points = kit_of(compared(strain), 0).results.charge_points
    for point in points:
        assert f"{day_text(point.at)} {point.at:%H:%M}" in texts
    for words in ("Off the air", "Back at", "Ah used in all", "Before the trip, with a meter"):
        assert words in texts
    for sheet in sheets(pdf_of(compared(strain), station=1, log=True)):
        assert_margins(sheet)
        assert overprinted(sheet) == 0


def test_overprinting_would_be_seen():
    page = pages_of(ridge(), station=1)[0]
    again = (mark.moved(15.0, 0.0) for mark in page.marks[:3])
    doubled = replace(page, marks=(*page.marks, *again))
    stream = io.BytesIO()
    write_pages([doubled], stream, "test")
    assert overprinted(sheets(stream.getvalue())[0]) > 5


@pytest.mark.parametrize("strain", STRAINS)
def test_letters_are_large_enough_on_front_and_back(strain):
    for page in paged(strain):
        *texts, foot = (mark for mark in page.marks if isinstance(mark, Text))
        least = 11.0 if ", front" in page.title else 9.0
        assert min(text.style.points for text in texts) >= least
        assert foot.style.points >= 9.0
        if ", front" in page.title and "of" not in page.title.rpartition(",")[2]:
            low = [text for text in texts if text.text in ("No change", "Transmit nothing")]
            assert all(text.style.points >= 14.0 for text in low)


def _extent(area):
    across, down = zip(*area.points, strict=True)
    return max(across) - min(across), max(down) - min(down)


def test_boxes_to_tick_are_eight_millimetres():
    front, back = pages_of(compared("bare"), station=1)
    for page in (front, back):
        squares = [
            _extent(mark) for mark in page.marks if isinstance(mark, Area) and mark.fill != "ink"
        ]
        ticks = [wide for wide, high in squares if wide == pytest.approx(high)]
        assert len(ticks) >= 3
        assert min(ticks) / MM == pytest.approx(8.0)


def test_a_long_name_stands_in_full_on_the_carry_list():
    scenario = strained(extras=2, long_names=True, days=1)
    name = scenario.stations[0].antenna.name
    text = " ".join(sheet.flat for sheet in sheets(pdf_of(scenario, station=1)))
    assert name in text
    assert "station A of 2" in text


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
    assert min(margins_mm(spoiled)) < 1


def test_a_heading_is_said_again_over_what_goes_on_in_the_next_column():
    rows = table_parts([Column(300.0)], [[f"row {n}"] for n in range(7)], ("Head",))
    blocks = [Block(row) for row in rows]
    room = rows[0].height + 2 * rows[1].height
    assert fits(blocks, 3, room)
    assert not fits(blocks, 2, room)
    whole = flowed(blocks, 3, 400.0, room)
    texts = [mark for mark in single(whole.marks) if isinstance(mark, Text)]
    heads = [mark.x for mark in texts if mark.text == "Head"]
    assert heads == [0.0, 400.0, 800.0]
    assert [mark.text for mark in texts if mark.text != "Head"] == [f"row {n}" for n in range(7)]
