"""Playlist files: reading one with its lessons and questions, every fault with its place."""

from __future__ import annotations

import difflib
import os
from collections.abc import Iterator, Sequence
from pathlib import Path
from typing import Any

from pydantic import ValidationError

from model.editing.faults import Fault, ScenarioError, at_lines
from model.editing.record_faults import last_key, record_faults
from model.files.scenario_file import read_bytes, table_of
from model.files.toml_text import lines_of
from model.lessons.lesson import ANSWER_KINDS, NumberAnswer, TimeAnswer
from model.lessons.lesson_file import read_lesson
from model.lessons.playlist import Asked, ClassPlan, Entry, Playlist, Question, Questions
from model.lessons.scenario_beside import is_file, scenario_given
from model.scenario.declare import Value

QUESTIONS_FILE = "questions.toml"
PLAYLISTS_FOLDER = "playlists"


def read_class_plan(source: str | os.PathLike[str], folders: Sequence[Path] = ()) -> ClassPlan:
    """Return the playlist in a file with its lessons and questions, none of them run yet.

    Parameters
    ----------
    folders : where lessons are looked for besides the folder of the playlist and the one above.

    Raises
    ------
    ScenarioError
        When the file cannot be read, holds no playlist or names what is not there; carries every
        fault with its line.
    """
    table, text = table_of(read_bytes(source))
    folder = Path() if str(source) == "-" else Path(source).resolve().parent
    places = (folder, folder.parent, *folders, *(each / PLAYLISTS_FOLDER for each in folders))
    try:
        playlist = Playlist.model_validate(table)
    except ValidationError as error:
        faults = tuple(record_faults(error, table, _keys_at))
    else:
        plan, faults = _filled(playlist, places)
        if not faults:
            return plan
    raise ScenarioError(at_lines(faults, lines_of(text)))


def is_playlist(table: dict[str, Any]) -> bool:
    """Whether a file's table is meant as a playlist."""
    return "lessons" in table and "steps" not in table


def is_questions(table: dict[str, Any]) -> bool:
    """Whether a file's table is meant as opening and closing questions."""
    return "questions" in table and "steps" not in table


def read_questions(source: str | os.PathLike[str]) -> Questions:
    """Return the questions that open and close a class.

    Raises
    ------
    ScenarioError
        When the file cannot be read or holds no such questions; carries every fault.
    """
    table, text = table_of(read_bytes(source))
    folder = Path() if str(source) == "-" else Path(source).resolve().parent
    scenario, faults = scenario_given(table.get("scenario"), folder)
    given = dict(table)
    if scenario is not None:
        given["scenario"] = scenario
    try:
        questions = Questions.model_validate(given)
    except ValidationError as error:
        faults += [
            fault
            for fault in record_faults(error, given, _keys_at, kinds=ANSWER_KINDS)
            if fault.path != "scenario" or "scenario" not in table
        ]
    else:
        faults += _twice([each.id for each in questions.questions])
        if not faults:
            return questions
    raise ScenarioError(at_lines(tuple(faults), lines_of(text)))


def _twice(ids: Sequence[str]) -> list[Fault]:
    return [
        Fault(f"questions.{place}.id", f'"{each}" stands there twice')
        for place, each in enumerate(ids)
        if each in ids[:place]
    ]


def _filled(playlist: Playlist, places: Sequence[Path]) -> tuple[ClassPlan, tuple[Fault, ...]]:
    """Return a playlist with all it names, or with the faults that keep it from being used."""
    faults: list[Fault] = []
    asked = {
        key: tuple(_asked(getattr(playlist, key), key, places, faults))
        for key in ("lessons", "spares")
    }
    if playlist.closing and playlist.closing != playlist.opening:
        faults.append(Fault("closing", "must be the questions of opening, in the same order"))
    questions = None
    if playlist.opening or playlist.closing:
        questions = _questions(places, faults)
    found = {
        key: tuple(_named(getattr(playlist, key), key, questions, faults))
        for key in ("opening", "closing")
    }
    plan = ClassPlan(
        playlist,
        asked["lessons"],
        asked["spares"],
        found["opening"],
        found["closing"],
        questions,
    )
    return plan, tuple(faults)


def _asked(
    entries: Sequence[Entry], key: str, places: Sequence[Path], faults: list[Fault]
) -> Iterator[Asked]:
    for index, entry in enumerate(entries):
        at = f"{key}.{index}"
        path = _found(f"{entry.lesson}.toml", places)
        if path is None:
            faults.append(Fault(f"{at}.lesson", _unknown_lesson(entry.lesson, places)))
            continue
        try:
            lesson = read_lesson(path)
        except ScenarioError as error:
            faults += [Fault(f"{at}.lesson", f"{path.name}: {error.faults[0]}")]
            continue
        count = len(lesson.steps)
        wrong = [step for step in entry.steps if step > count]
        if wrong:
            many = "1 question" if count == 1 else f"{count} questions"
            faults.append(Fault(f"{at}.steps", f"{path.name} has {many}, got {wrong[0]}"))
            continue
        steps = tuple(step - 1 for step in entry.steps) or tuple(range(count))
        yield Asked(entry.lesson, path, lesson, steps)


def _questions(places: Sequence[Path], faults: list[Fault]) -> Questions | None:
    path = _found(QUESTIONS_FILE, places)
    if path is None:
        faults.append(Fault("opening", f"there is no {QUESTIONS_FILE} beside the playlist"))
        return None
    try:
        return read_questions(path)
    except ScenarioError as error:
        faults.append(Fault("opening", f"{QUESTIONS_FILE}: {error.faults[0]}"))
        return None


def _named(
    ids: Sequence[str], key: str, questions: Questions | None, faults: list[Fault]
) -> Iterator[Question]:
    for index, wanted in enumerate(ids):
        question = questions.get(wanted) if questions else None
        if question is not None:
            yield question
        elif questions is not None:
            known = ", ".join(each.id for each in questions.questions)
            faults.append(
                Fault(f"{key}.{index}", f'there is no question "{wanted}"; there are {known}')
            )


def _found(name: str, places: Sequence[Path]) -> Path | None:
    return next((place / name for place in places if is_file(place / name)), None)


def _unknown_lesson(wanted: str, places: Sequence[Path]) -> str:
    known = sorted({path.stem for place in places for path in place.glob("*.toml")})
    nearest = difflib.get_close_matches(wanted, known, n=1, cutoff=0.6)
    hint = f'; the nearest is "{nearest[0]}"' if nearest else ""
    return f'there is no lesson "{wanted}"{hint}'


def _keys_at(path: str) -> list[str]:
    """Return the keys a table of a playlist or of its questions may hold."""
    if path.startswith("questions"):
        models: dict[str, tuple[type[Value], ...]] = {
            "questions": (Question,), "answer": (NumberAnswer, TimeAnswer),
        }  # fmt: skip
    else:
        models = {"": (Playlist,), "lessons": (Entry,), "spares": (Entry,)}
    known = models.get(last_key(path), ())
    return list(dict.fromkeys(key for model in known for key in model.model_fields))
