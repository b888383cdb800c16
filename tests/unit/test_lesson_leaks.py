"""Nothing that a class is shown before a reveal holds its answer, or that of a later question."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest

from model.lessons.leaks import Leak, leaks, lesson_leaks
from model.lessons.lesson import Lesson
from model.lessons.lesson_file import read_lesson
from model.lessons.parts import Shown
from model.lessons.playlist import ClassPlan
from model.lessons.playlist_file import read_class_plan

FOLDER = Path(__file__).resolve().parents[2] / "scenarios" / "lessons"
PLAYLISTS = sorted((FOLDER / "playlists").glob("*minutes.toml"))


@pytest.mark.parametrize("file", PLAYLISTS, ids=lambda path: path.stem)
def test_no_shipped_playlist_shows_an_answer_too_early(file: Path) -> None:
    assert leaks(read_class_plan(file)) == ()


def test_no_shipped_lesson_shows_an_answer_too_early() -> None:
    for file in FOLDER.glob("*.toml"):
        if "[[steps]]" in file.read_text(encoding="utf-8"):
            assert lesson_leaks(read_lesson(file), file.stem) == (), file.stem


def changed(name: str, step: int, **update: Any) -> Lesson:
    lesson = read_lesson(FOLDER / f"{name}.toml")
    steps = list(lesson.steps)
    steps[step] = steps[step].model_copy(update=update)
    return lesson.model_copy(update={"steps": tuple(steps)})


def found_in(lesson: Lesson) -> list[tuple[str, str]]:
    return [(leak.shown, leak.answer) for leak in lesson_leaks(lesson, "step")]


def test_a_table_with_the_other_stations_figure_is_found() -> None:
    shown = (Shown(result="table", stations=(1, 2), figures=("receive",)),)
    assert ("step 1: table shown", "step 2") in found_in(changed("radio-choice", 0, show=shown))
    alone = (Shown(result="table", stations=(1,), figures=("receive",)),)
    assert found_in(changed("radio-choice", 0, show=alone)) == []


def test_a_picture_of_the_later_night_is_found() -> None:
    shown = (Shown(result="charge"),)
    assert found_in(changed("frost", 0, show=shown)) == [("step 1: charge shown", "step 2")]


@pytest.mark.parametrize(
    ("title", "is_found"),
    [
        ("Why the small radio and amplifier wins", True),
        ("A month later, 24.4 Ah", True),
        ("Small radio and amplifier, or one box?", False),
        ("A day of listening", False),
    ],
)
def test_a_title_that_tells_is_found(title: str, is_found: bool) -> None:
    lesson = read_lesson(FOLDER / "amplifier.toml").model_copy(update={"title": title})
    assert any(shown == "step: title" for shown, _ in found_in(lesson)) is is_found


@pytest.fixture(scope="module")
def plan() -> ClassPlan:
    return read_class_plan(FOLDER / "playlists" / "75-minutes.toml")


def test_a_card_with_the_answer_is_found(plan: ClassPlan) -> None:
    telling = ("rest voltage", "13.2 V on LFP: 29 % to 74 %")
    blank = ("rest voltage", "13.2 V on LFP: ____ % to ____ %")
    order = ("cards", "47.2 h, 43.3 h, 40.3 h, 37.9 h")
    assert leaks(plan, (blank,)) == ()
    assert leaks(plan, (telling,)) == (Leak("rest voltage", "rest-voltage 1"),)
    assert leaks(plan, (order,)) == (Leak("cards", "switch-off-first 1"),)


def test_a_given_sentence_with_the_answer_is_found() -> None:
    said = "The one box takes 35.2 Ah, the other 17.9 Ah."
    assert found_in(changed("amplifier", 0, given=said)) == [("step 1: given", "step 1")]
    half = "The one box takes 35.2 Ah."
    assert found_in(changed("amplifier", 0, given=half)) == []


def test_a_text_with_what_was_asked_before_is_found() -> None:
    # The worksheet with every question is in everybody's hands from the beginning.
    said = "The other listened for {before.stations.0.clocks.receive.hours|h|0}."
    assert found_in(changed("radio-choice", 1, given=said)) == [("step 2: given", "step 1")]


def test_a_watch_line_with_a_later_answer_is_found() -> None:
    line = "Charging from {stations.0.first_charge.at}; at the end {stations.0.end_fraction} full"
    assert ("step 1: watch", "step 2") in found_in(changed("frost", 0, watch=line))


def test_a_change_that_answers_the_next_question_is_found() -> None:
    lesson = read_lesson(FOLDER / "amplifier.toml")
    left_on = (
        lesson.steps[1]
        .tries[0]
        .model_copy(
            update={
                "words": "Left in operate",
                "changes": (("stations.1.amplifier.out_of_session", "operate"),),
            }
        )
    )
    spoilt = changed("amplifier", 0, tries=(left_on,))
    assert found_in(spoilt) == [('step 1: change "Left in operate"', "step 2")]


def test_an_answer_of_the_closing_questions_is_found(plan: ClassPlan) -> None:
    first = plan.lessons[0]
    step = first.lesson.steps[0].model_copy(update={"sum": "12 Ah ÷ 0.4 A = 30 h"})
    asked = replace(first, lesson=first.lesson.model_copy(update={"steps": (step,)}))
    found = leaks(replace(plan, lessons=(asked,)))
    assert [(leak.shown, leak.answer, leak.path) for leak in found] == [
        ("tonight 1: sum", "question hours", "steps.0.sum")
    ]


def test_a_moment_is_found_as_a_clock_and_as_hours() -> None:
    for words in ("It ends at 06:59.", "It lasts 12.0 h.", "It lasts 11\xa0h 59\xa0min."):
        assert found_in(changed("tonight", 0, given=words)) == [("step 1: given", "step 1")], words
    assert found_in(changed("tonight", 0, given="It is 12.5 h from here; 112.0 h; 12.0 Ah.")) == []
