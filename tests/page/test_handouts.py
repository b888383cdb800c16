"""Handouts of the class: what stands on them, legible, within the paper, no answer too early."""

from __future__ import annotations

from functools import cache
from io import BytesIO
from itertools import pairwise
from pathlib import Path

import numpy as np
import pypdfium2
import pytest

from app.classroom.handouts import handout_pages, write_handouts
from app.classroom.lessons import lessons_in, shipped_folder
from app.printing.document import PageError
from app.printing.marks import POINT, Page, Text
from app.printing.paper import PAPERS
from model.lessons.run import reveal
from model.station.chemistry import rest_v

PARTS = ("Worksheet", "Bench sheet", "A day on the air", "My kit", "Cards", "ANSWER KEY")
LESSONS = tuple(listed.lesson for listed in lessons_in(shipped_folder())[0])


@cache
def pages(paper: str = "a4") -> tuple[Page, ...]:
    return tuple(handout_pages(LESSONS, paper=paper))


def texts(page: Page) -> list[Text]:
    return [mark for mark in page.marks if isinstance(mark, Text)]


def words_of(part: str) -> str:
    found = [page for page in pages() if page.title.startswith(part)]
    return " ".join(text.text for page in found for text in texts(page))


@pytest.mark.usefixtures("qapp")
@pytest.mark.parametrize("paper", ["a4", "letter"])
def test_every_text_is_large_enough_and_within_the_margins(paper: str) -> None:
    sheet = PAPERS[paper]
    for page in pages(paper):
        for text in texts(page):
            assert text.style.points >= 9
            assert text.x >= sheet.margin - 1, text
            assert text.x + text.width <= sheet.width - sheet.margin + 1, text
            assert text.y <= sheet.height - sheet.margin + POINT, text


@pytest.mark.usefixtures("qapp")
def test_no_two_texts_stand_on_one_another() -> None:
    for page in pages():
        lines: dict[int, list[Text]] = {}
        for text in texts(page):
            lines.setdefault(round(text.y), []).append(text)
        for row in lines.values():
            row.sort(key=lambda text: text.x)
            for first, second in pairwise(row):
                assert first.x + first.width <= second.x + 1, (first.text, second.text)


@pytest.mark.usefixtures("qapp")
def test_every_handout_is_there_and_nothing_is_cut() -> None:
    titles = [page.title for page in pages()]
    assert [next(t for t in titles if t.startswith(part)) for part in PARTS]
    for page in pages():
        assert not any(text.text.endswith("…") for text in texts(page)), page.title


@pytest.mark.usefixtures("qapp")
def test_the_worksheet_asks_everything_and_answers_nothing() -> None:
    sheet, key = words_of("Worksheet"), words_of("ANSWER KEY")
    for lesson in LESSONS:
        assert lesson.title in sheet
        for index, step in enumerate(lesson.steps):
            shown = reveal(lesson, index)
            assert shown.truth.words.split()[0] in key
            assert " ".join(shown.explanation.split()) not in sheet
            if step.answer.kind == "number":
                assert f" {shown.truth.words} " not in sheet


@pytest.mark.usefixtures("qapp")
def test_cards_hold_what_the_trade_and_published_tables_say() -> None:
    cards = words_of("Cards")
    # 20 A, 3 m one way, AWG 10 at 20 °C: 2 x 3 m x 3.277 mohm/m x 20 A; ASTM B258, IEC 60028.
    assert f"{2 * 3 * 3.277e-3 * 20:.2f}" == "0.39"
    assert "0.39" in cards
    # LFP at half charge: measured rest volts, Sunil, Pattipati and Balasingam 2025, x 4.
    assert f"{float(rest_v('LFP', 4, np.array([0.5]))[0]):.2f}" == "13.20"
    assert "13.20" in cards
    for words in ("DO NOT RELY ON IT", "charging damages it for good", "Battery to controller"):
        assert words in cards
    # 10 log10(20) = 13.0 dB, in S-units of 6 dB 2.2: IARU Region 1, Recommendation R.1.
    assert "× 20 13.0 2.2" in cards


@pytest.mark.usefixtures("qapp")
def test_every_page_says_what_a_prediction_is_worth() -> None:
    for page in pages():
        whole = " ".join(text.text for text in texts(page))
        assert "no life should rest on it" in whole


@pytest.mark.usefixtures("qapp")
def test_the_file_is_a_pdf_with_all_pages_and_text_that_can_be_found(tmp_path: Path) -> None:
    target = tmp_path / "handouts.pdf"
    write_handouts(LESSONS[:2], target, paper="letter")
    document = pypdfium2.PdfDocument(BytesIO(target.read_bytes()))
    assert document[0].get_size() == pytest.approx((612, 792), abs=1)
    assert "Listening only, tonight" in document[0].get_textpage().get_text_range()
    assert len(document) >= len(PARTS)
    document.close()


@pytest.mark.usefixtures("qapp")
def test_a_file_that_cannot_be_written_is_told(tmp_path: Path) -> None:
    with pytest.raises(PageError):
        write_handouts(LESSONS[:1], tmp_path / "none" / "handouts.pdf")
