"""Handouts of the class: what stands on them, legible, within the paper, no answer too early."""

from __future__ import annotations

from functools import cache
from io import BytesIO
from itertools import pairwise
from pathlib import Path

import numpy as np
import pypdfium2
import pytest

from app.classroom.handout_cards import CONNECT_STEPS
from app.classroom.handouts import handout_pages, write_handouts
from app.classroom.lessons import classes_in, shipped_folder
from app.classroom.programme import Programme
from app.printing.document import PageError
from app.printing.marks import POINT, Page, Text
from app.printing.paper import PAPERS
from model.lessons.run import truth_of
from model.station.chemistry import rest_v
from tests.plain import plain

PARTS = (
    "Worksheet", "Answer strips", "Bench sheet", "A day on the air", "My kit", "Cards to sort",
    "To take home", "Cards to take home", "ANSWER KEY",
)  # fmt: skip
PROGRAMMES = {each.programme.key: each.programme for each in classes_in(shipped_folder())[0]}
CLASS: Programme = PROGRAMMES["playlist 75-minutes"]


@cache
def pages(paper: str = "a4") -> tuple[Page, ...]:
    # As the window has it: who prints on letter has US units.
    return tuple(handout_pages(CLASS, paper=paper, us=paper == "letter"))


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
def test_what_is_given_out_before_asks_everything_and_answers_nothing() -> None:
    sheet, key = words_of("Worksheet"), words_of("ANSWER KEY")
    before = " ".join(words_of(part) for part in PARTS[:6])
    for question in CLASS.questions:
        run = CLASS.run_of(question)
        truth = truth_of(run)
        said = " ".join(run.text(run.step.explanation).split())
        assert truth.words.split()[0] in key
        assert said not in before
        if question.lesson is not None:
            assert question.lesson.title in sheet
        if question.step.answer.kind == "number":
            assert f" {truth.words} " not in before


@pytest.mark.usefixtures("qapp")
def test_handouts_hold_the_chosen_playlist_and_no_other_lesson() -> None:
    asked = {each.lesson.title for each in CLASS.lessons}
    others = {
        each.lesson.title
        for programme in PROGRAMMES.values()
        for each in programme.lessons
        if each.lesson.title not in asked
    }
    whole = " ".join(text.text for page in pages() for text in texts(page))
    assert len(others) > 5
    assert not [title for title in others if title in whole]


@pytest.mark.usefixtures("qapp")
def test_a_strip_has_a_line_for_each_question_and_is_there_for_two() -> None:
    strips = words_of("Answer strips")
    assert strips.count("Answer strip · name or number") == 2
    for question in CLASS.questions:
        assert f" {CLASS.number_of(question)} " in f" {strips} "


@pytest.mark.usefixtures("qapp")
def test_cards_to_sort_are_blank_and_those_to_take_home_hold_what_published_tables_say() -> None:
    sort = words_of("Cards to sort")
    assert "Battery to controller" in sort
    order = next(each for each in CLASS.questions if each.step.answer.kind == "order")
    truth = truth_of(CLASS.run_of(order))
    assert all(plain(item.text) in plain(sort) for item in order.step.answer.items)
    assert not [value for value in truth.each if value in sort]
    assert not [step for step in CONNECT_STEPS if f"1  {step}" in sort]
    cards = words_of("Cards to take home")
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
    write_handouts(PROGRAMMES["lesson tonight"], target, paper="letter")
    document = pypdfium2.PdfDocument(BytesIO(target.read_bytes()))
    assert document[0].get_size() == pytest.approx((612, 792), abs=1)
    assert "Listening only, tonight" in document[0].get_textpage().get_text_range()
    assert len(document) >= len(PARTS)
    document.close()


@pytest.mark.usefixtures("qapp")
def test_a_file_that_cannot_be_written_is_told(tmp_path: Path) -> None:
    with pytest.raises(PageError):
        write_handouts(PROGRAMMES["lesson tonight"], tmp_path / "none" / "handouts.pdf")
