"""The printed set of a group, read back: the leader's sheet, labels, matrix, kits and logs."""

from __future__ import annotations

import io
import sys
from dataclasses import replace
from pathlib import Path

import pytest

sys.path.insert(0, str(Path(__file__).parent))
from page_reading import Sheet, sheets

from app.printing.group_leader import LEFT_MEANS, leader_bodies
from app.printing.group_matrix import note_lines, reason_lines
from app.printing.group_set import GroupAnswers, search_answers, write_group_pdf
from app.printing.marks import Text, single
from app.printing.paper import PAPERS
from app.widgets.number_text import fixed
from model.export.group_data import group_mark
from model.group.edit_group import with_text
from model.group.group_file import read_group
from model.group.group_run import run_group
from model.group.group_words import ORDER_MEANS, net_words, order_words
from model.group.power_matrix import SWAP_WORDS
from model.group.shared_odds import group_odds, with_odds
from model.results.wording import capital
from model.scenario.cautions import ELECTRICAL, PREDICTION
from model.support.progress import finish
from tests.group_files import group_file

pytestmark = pytest.mark.usefixtures("qapp")


@pytest.fixture(scope="module")
def answers(tmp_path_factory: pytest.TempPathFactory) -> GroupAnswers:
    """A small group with all that is printed of it."""
    result = run_group(read_group(group_file(tmp_path_factory.mktemp("group"))))
    odds = group_odds(result, 20)
    return finish(search_answers(with_odds(result, odds), odds))


@pytest.fixture(scope="module")
def pages(answers: GroupAnswers) -> list[Sheet]:
    """The set on A4."""
    return written(answers, "a4")


def written(answers: GroupAnswers, paper: str) -> list[Sheet]:
    stream = io.BytesIO()
    write_group_pdf(answers, stream, paper=paper)  # type: ignore[arg-type]
    return sheets(stream.getvalue())


def test_the_longest_fields_of_a_post_stand_whole_in_the_roster(answers: GroupAnswers) -> None:
    whole, said = answers.result.whole, {}
    group = whole.group
    for key, most in (("backup", 120), ("shift", 60), ("licence", 60), ("relief", 60)):
        said[key] = f"{key} {'alpha bravo ' * 12}"[:most].strip()
        group = with_text(group, "posts", 0, key, said[key])
    result = run_group(replace(whole, group=group))
    sheet = PAPERS["a4"]
    width, room = sheet.inner_width, sheet.inner_height
    bodies = leader_bodies(result, answers.spares, answers.points, None, "metric", width, room)
    texts = [mark.text for body in bodies for mark in single(body.marks) if isinstance(mark, Text)]
    assert not any("\N{HORIZONTAL ELLIPSIS}" in text for text in texts)
    count = sum(words.count("alpha") for words in said.values())
    assert sum(text.count("alpha") for text in texts) == count


def text_of(pages: list[Sheet], foot: str) -> str:
    return plain(" ".join(page.flat for page in pages if foot in page.flat))


def plain(words: str) -> str:
    return " ".join(words.split())


def test_the_leader_s_sheet_reads_without_the_program(
    answers: GroupAnswers, pages: list[Sheet]
) -> None:
    text, result = text_of(pages, "· Leader's sheet"), answers.result
    assert answers.odds is not None
    assert plain(f"{PREDICTION} {ELECTRICAL}") in text
    assert plain(net_words(result, answers.odds)) in text
    for order in answers.spares.orders:
        assert plain(f"{capital(order_words(result, order))}.") in text
    for point in answers.points:
        assert plain(point.words) in text
    for row in result.posts:
        assert row.kit.post.role in text
    for row in result.posts:
        if row.planned is not None:
            assert f"full: {fixed(row.planned.inputs.bounds.full_ah, 1)} Ah" in text
    for word in (
        LEFT_MEANS,
        ORDER_MEANS,
        "Roster",
        "Signature",
        "Night from",
        "reported",
        SWAP_WORDS,
    ):
        assert word in text


def test_each_spare_has_a_label_that_says_what_to_mind(pages: list[Sheet]) -> None:
    text = text_of(pages, "· Labels of the spares")
    assert [f"SPARE {number}" in text for number in (1, 2, 3)] == [True, True, False]
    assert text.count(SWAP_WORDS) == 2
    assert text.count("Kept at: Base") == 2


def test_the_matrix_tells_every_reason(answers: GroupAnswers, pages: list[Sheet]) -> None:
    text = text_of(pages, "· Who can power whom")
    assert SWAP_WORDS in text
    lines = [*reason_lines(answers.power), *note_lines(answers.power)]
    assert lines
    assert all(plain(line) in text for line in lines)


def test_every_post_has_front_back_and_log_with_the_mark_of_the_group(
    answers: GroupAnswers, pages: list[Sheet]
) -> None:
    mark = group_mark(answers.result.whole)
    for row in answers.result.posts:
        foot = f"{row.kit.name}, {row.kit.post.role} · input {mark}"
        own = [page.flat for page in pages if foot in page.flat]
        for side in ("front", "back", "field log"):
            assert any(side in page for page in own)
    front = next(page.flat for page in pages if "post 02, shelter" in page.flat)
    assert "Net control post 01" in front
    assert "After the exercise" in pages[-1].flat


@pytest.mark.parametrize("paper", ["a4", "letter"])
def test_nothing_lies_in_the_margin(answers: GroupAnswers, pages: list[Sheet], paper: str) -> None:
    shown = pages if paper == "a4" else written(answers, paper)
    assert {(round(page.width), round(page.height)) for page in shown} == {
        (595, 842) if paper == "a4" else (612, 792)
    }
    assert all(min(page.ink_margins_mm) >= 4.5 for page in shown)
