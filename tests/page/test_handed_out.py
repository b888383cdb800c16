"""What is handed out before the first question holds no answer of the class."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from app.classroom.handout_home import take_home
from app.classroom.handout_sheets import bench_sheet, kit_form, plan_sheet, worksheet
from app.classroom.handout_sort import sort_cards
from app.classroom.handout_strips import answer_strips
from app.classroom.programme import Programme, programme_of_plan
from app.printing.document import ensure_application
from app.printing.marks import Piece, Text, single
from model.lessons.leaks import leaks
from model.lessons.playlist import ClassPlan
from model.lessons.playlist_file import read_class_plan

PLAYLISTS = Path(__file__).resolve().parents[2] / "scenarios" / "lessons" / "playlists"
WIDE = 500.0


@pytest.fixture(scope="module")
def plan() -> ClassPlan:
    ensure_application()
    return read_class_plan(PLAYLISTS / "90-minutes.toml")


def words_of(pieces: list[Piece]) -> str:
    marks = (mark for piece in pieces for mark in single(piece.marks))
    lines = (mark.text for mark in marks if isinstance(mark, Text))
    # A line may end within a time.
    return re.sub(r"(?<=\d): (?=\d)", ":", " ".join(lines))


def handed_out(programme: Programme) -> dict[str, list[Piece]]:
    return {
        "worksheet": worksheet(programme, WIDE),
        "strips": answer_strips(programme, WIDE),
        "cards to sort": sort_cards(programme, WIDE),
        "plan": plan_sheet(WIDE),
        "kit": kit_form(WIDE),
        "bench sheet": bench_sheet(WIDE),
    }


def test_sheets_strips_and_cards_of_the_beginning_hold_no_answer(plan: ClassPlan) -> None:
    given = handed_out(programme_of_plan("playlist", plan))
    texts = [(name, words_of(pieces)) for name, pieces in given.items()]
    assert all(text for _, text in texts)
    assert leaks(plan, texts) == ()


def test_the_page_to_take_home_would_tell_every_answer(plan: ClassPlan) -> None:
    page = words_of(take_home(programme_of_plan("playlist", plan), WIDE))
    told = {leak.answer for leak in leaks(plan, (("home", page),)) if leak.shown == "home"}
    assert {f"{asked.name} 1" for asked in plan.lessons} <= told
