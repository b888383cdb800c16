"""The copy for guessing, answers, cover; one paint for file, printer and screen."""

from __future__ import annotations

import re
import sys
from functools import cache
from pathlib import Path

import numpy as np
import pypdfium2 as pdfium
import pytest
from PySide6.QtCore import QRectF
from PySide6.QtGui import QImage
from PySide6.QtPrintSupport import QPrinter

from app.__main__ import main
from app.printing import PageError, pages_of, write_pdf
from app.printing.document import pdf_bytes
from app.printing.marks import Page, Text
from app.printing.paint import paint_page, painting
from app.printing.printing import print_pages
from model.editing.paths import with_value
from model.engine.comparison import Comparison, simulate
from model.verdict.pass_fail import RULE, grade

sys.path.insert(0, str(Path(__file__).parent))
from awkward_kits import ridge, strained
from page_reading import pdf_of, sheets

from tests.plain import plain

pytestmark = pytest.mark.usefixtures("qapp")


def texts_of(page: Page) -> list[str]:
    return [mark.text for mark in page.marks if isinstance(mark, Text)]


@cache
def compared() -> Comparison:
    return simulate(ridge())


def test_the_copy_for_guessing_tells_no_prediction():
    guess, answers = (
        [sheet.flat for sheet in sheets(pdf_of(compared(), variant=variant))]
        for variant in ("class", "answers")
    )
    for at in (0, 2, 4):
        assert "COPY FOR GUESSING" in guess[at]
        assert "ANSWERS" in answers[at]
    blank, told = " ".join(guess[2:4]), " ".join(answers[2:4])
    for predicted in ("Sun 04:11", "22:37", "24.29", "11.64 V", "10.21", "12.5 ("):
        assert predicted in told, predicted
        assert predicted not in blank, predicted
    for given in ("one-box, 100 W, screen", "Set up", "30 A", "1.20 A", "Cautions"):
        assert given in blank
    assert "ends first" in answers[4]
    assert "ends first: " not in guess[4]
    assert "RF power, W 100 100" in guess[4]


def test_the_cover_prints_its_rule_and_grades_by_it():
    other = strained(extras=3, days=4)
    text = sheets(pdf_of([ridge(), other], cover=True))[0].flat
    assert plain(RULE) in text
    runs = [run for scenario in (ridge(), other) for run in simulate(scenario).runs]
    outcomes = [grade(run).outcome.upper() for run in runs]
    assert [found.group() for found in re.finditer(r"PASS, UNMEASURED|PASS|FAIL", text)] == outcomes
    assert {"PASS", "FAIL"} <= set(outcomes)
    assert "Receive until Sun 04:11" in text
    assert "18.77 41.38" in text


def test_a_guessed_capacity_makes_a_pass_unmeasured():
    measured = ridge()
    assert grade(simulate(measured).runs[0]).outcome == "pass"
    guessed = with_value(measured, "stations.0.battery.sources", ())
    assert grade(simulate(guessed).runs[0]).outcome == "pass, unmeasured"
    assert grade(None).outcome == "not calculated"


def test_a_cover_of_many_kits_goes_on_to_further_sides():
    pages = pages_of([compared()] * 30, cover=True, station=1)
    assert len(pages) == 62
    covers = [page for page in pages if any("The rule." in text for text in texts_of(page))]
    assert covers == pages[:2]
    assert any("side 2 of 2" in text for text in texts_of(covers[1]))


def test_names_with_markup_are_shown_as_they_are():
    name = "<b>bold</b> &amp; <img src=x>"
    scenario = with_value(ridge(), "stations.0.name", name)
    scenario = with_value(scenario, "stations.0.radio.name", name)
    text = " ".join(sheet.flat for sheet in sheets(pdf_of(scenario, station=1)))
    assert text.count(name) >= 2


def test_the_file_says_what_it_is_and_names_no_author(tmp_path):
    path = tmp_path / "kit.pdf"
    write_pdf(compared(), path)
    document = pdfium.PdfDocument(path)
    facts = document.get_metadata_dict()
    assert facts["Title"] == "Kit page: Spring weekend exercise on a ridge"
    assert facts["Creator"] == "Counterpoise"
    assert facts["Author"] == ""
    document.close()


def test_fonts_are_in_the_file():
    data = pdf_of(compared(), station=1)
    # ISO 32000-1, 9.9: an embedded TrueType font program stands under FontFile2.
    assert data.count(b"/FontFile2") == data.count(b"/FontDescriptor\n") >= 2


def test_file_and_printer_show_the_same(tmp_path):
    pages = pages_of(compared())
    written = sheets(pdf_bytes(pages, "test"))
    printer = QPrinter()
    printer.setOutputFormat(QPrinter.OutputFormat.PdfFormat)
    printer.setOutputFileName(str(tmp_path / "printed.pdf"))
    print_pages(pages, printer, "test")
    printed = sheets((tmp_path / "printed.pdf").read_bytes())
    assert [sheet.text for sheet in printed] == [sheet.text for sheet in written]
    for paper, file in zip(printed, written, strict=True):
        assert paper.ink.shape == file.ink.shape
        assert (paper.ink == file.ink).all()


def test_only_the_pages_asked_for_are_printed(tmp_path):
    printer = QPrinter()
    printer.setOutputFormat(QPrinter.OutputFormat.PdfFormat)
    printer.setOutputFileName(str(tmp_path / "one.pdf"))
    printer.setFromTo(3, 3)
    print_pages(pages_of(compared()), printer, "test")
    (only,) = sheets((tmp_path / "one.pdf").read_bytes())
    assert "station B of 2" in only.text
    printer.setFromTo(7, 9)
    with pytest.raises(PageError, match="there are 5 pages"):
        print_pages(pages_of(compared()), printer, "test")


def test_screen_and_file_put_ink_in_the_same_places():
    page = pages_of(compared(), station=1)[0]
    sheet = sheets(pdf_bytes([page], "test"))[0]
    high, wide = sheet.ink.shape
    picture = QImage(wide, high, QImage.Format.Format_Grayscale8)
    picture.fill(255)
    with painting(picture) as painter:
        paint_page(painter, page, QRectF(0, 0, wide, high))
    rows = np.frombuffer(picture.constBits(), np.uint8).reshape(high, picture.bytesPerLine())
    shown = rows[:, :wide] < 250
    # Two rasterizers round edges differently: what is inked in one is within a pixel in the other.
    for one, other in ((shown, sheet.ink), (sheet.ink, shown)):
        near = other.copy()
        for down in (-1, 0, 1):
            for right in (-1, 0, 1):
                near |= np.roll(other, (down, right), (0, 1))
        assert (one & ~near).sum() < 0.002 * one.sum()


def test_the_same_question_makes_the_same_page():
    first, second = (sheets(pdf_of(simulate(ridge()), station=2))[0] for _ in range(2))
    assert first.text == second.text
    assert (first.ink == second.ink).all()


def test_a_station_that_cannot_run_still_has_its_page():
    scenario = with_value(ridge(), "plan.1.transmit_share", 0.4)
    broken = with_value(ridge(), "plan.2.transmit_share", 0.9)
    assert simulate(scenario).runs[0] is not None
    comparison = simulate(broken)
    assert comparison.runs == (None, None)
    text = sheets(pdf_of(comparison, cover=True))
    assert "NOT CALCULATED" in text[0].flat
    assert "Set up" in text[1].flat
    assert "Not run: " in text[2].flat
    assert "Carry:" in text[2].flat
    assert "Cautions" in text[2].flat


def test_the_command_line_makes_the_same_file_as_the_window(tmp_path):
    source = Path(__file__).resolve().parents[2] / "scenarios" / "ridge-weekend.toml"
    typed, asked = tmp_path / "typed.pdf", tmp_path / "asked.pdf"
    assert main(["page", str(source), "--pdf", str(typed)]) == 0
    write_pdf(compared(), asked)
    for one, other in zip(sheets(typed.read_bytes()), sheets(asked.read_bytes()), strict=True):
        assert one.text == other.text
        assert (one.ink == other.ink).all()
