"""The worker: one job at a time, late results dropped, nothing left running."""

from __future__ import annotations

import sys
import threading
from collections.abc import Iterator
from time import perf_counter, sleep

import pytest
from pytestqt.qtbot import QtBot

from app.work.jobs import ASIDE_S, Jobs, window_first
from model.editing.faults import Fault, ScenarioError
from model.support.progress import Search, at_once


@pytest.fixture
def jobs(qtbot: QtBot) -> Iterator[Jobs]:
    made = Jobs()
    yield made
    made.close()


def test_a_job_gives_its_value_and_its_progress(jobs: Jobs, qtbot: QtBot) -> None:
    def work() -> Search[int]:
        yield 0.5
        return 42

    shares: list[float] = []
    jobs.progressed.connect(lambda _number, share: shares.append(share))
    with qtbot.waitSignal(jobs.finished) as blocker:
        number = jobs.start(work())
    assert blocker.args == [number, 42]
    assert shares == [0.5]
    assert not jobs.is_running


def test_a_new_job_cancels_the_last_and_its_result_is_dropped(jobs: Jobs, qtbot: QtBot) -> None:
    started, go_on = threading.Event(), threading.Event()
    after_cancel: list[str] = []

    def slow() -> Search[str]:
        started.set()
        go_on.wait(10)
        yield 0.9
        after_cancel.append("went on")
        return "old"

    results: list[object] = []
    jobs.finished.connect(lambda _number, value: results.append(value))
    jobs.start(slow())
    assert started.wait(10)
    with qtbot.waitSignal(jobs.finished):
        jobs.start(at_once(str, "new"))
        go_on.set()
    assert results == ["new"]
    assert after_cancel == []


@pytest.mark.parametrize(
    ("error", "words"),
    [
        (ZeroDivisionError("planted"), "ZeroDivisionError: planted"),
        (ScenarioError((Fault("day.days", "must be less"),)), "day.days: must be less"),
    ],
)
def test_a_job_that_fails_says_why(jobs: Jobs, qtbot: QtBot, error: Exception, words: str) -> None:
    def work() -> None:
        raise error

    with qtbot.waitSignal(jobs.failed) as blocker:
        jobs.start(at_once(work))
    assert blocker.args[1] == words
    with qtbot.waitSignal(jobs.finished) as blocker:
        jobs.start(at_once(str, "next"))
    assert blocker.args[1] == "next"


def test_many_overlapping_jobs_end_well(jobs: Jobs, qtbot: QtBot) -> None:
    for round_ in range(30):
        with qtbot.waitSignal(jobs.finished) as blocker:
            for number in range(10):
                jobs.start(at_once(tuple, (round_, number)))
        assert blocker.args[1] == (round_, 9)


def test_the_interpreter_switches_as_usual_when_no_job_runs(jobs: Jobs, qtbot: QtBot) -> None:
    usual, may_end = sys.getswitchinterval(), threading.Event()
    with qtbot.waitSignal(jobs.finished):
        jobs.start(at_once(may_end.wait, 10))
        assert sys.getswitchinterval() < usual
        may_end.set()
    assert sys.getswitchinterval() == usual


def test_one_job_that_ends_leaves_another_its_short_interval(jobs: Jobs, qtbot: QtBot) -> None:
    usual, other = sys.getswitchinterval(), Jobs()
    is_at_work, may_end = threading.Event(), threading.Event()

    def wait_for_the_end() -> None:
        is_at_work.set()
        may_end.wait(10)

    try:
        with qtbot.waitSignal(other.finished):
            with qtbot.waitSignal(jobs.finished):
                other.start(at_once(wait_for_the_end))
                qtbot.waitUntil(is_at_work.is_set)
                jobs.start(at_once(bool))
            assert sys.getswitchinterval() < usual
            may_end.set()
        assert sys.getswitchinterval() == usual
    finally:
        other.close()


def test_work_stands_aside_while_the_window_goes_first(jobs: Jobs, qtbot: QtBot) -> None:
    """At the end of a piece it waits for the moment to pass; who cancels does not wait for it."""
    begun = threading.Event()
    pieces: list[float] = []

    def search() -> Search[int]:
        for number in range(3):
            pieces.append(perf_counter())
            begun.set()
            while number == 0 and not asked.is_set():
                sleep(0.001)
            yield number / 3
        return 3

    asked = threading.Event()
    with qtbot.waitSignal(jobs.finished, timeout=10_000):
        jobs.start(search())
        assert begun.wait(10)
        window_first()
        stands_aside_from = perf_counter()
        asked.set()
    assert pieces[1] - stands_aside_from > 0.9 * ASIDE_S

    begun.clear()
    asked.clear()
    jobs.start(search())
    assert begun.wait(10)
    window_first()
    asked.set()
    jobs.close()
    assert len(pieces) == 4
