"""While a hand drags, the curves follow in longer steps; what is said rests on whole runs."""

from __future__ import annotations

from itertools import pairwise

import numpy as np
import pytest

from app.charts.day.words import table_text
from app.pages.lenses import KINDS
from app.state.session import MOVING_STEP_MIN
from model.engine.comparison import STEP_MIN, Comparison, simulate
from model.scenario.station import FieldReading
from tests.window.user import User

PATH = "stations.1.radio.receive_a"


def _drag(user: User, *values: float) -> list[Comparison]:
    """Change a part again and again, each time before any word comes; return what was shown."""
    session, shown = user.window.session, []
    session.comparison_changed.connect(shown.append)
    for value in values:
        before = len(shown)
        user.window.document.edit(PATH, value)
        user.wait_for(lambda before=before: len(shown) > before)
    session.comparison_changed.disconnect(shown.append)
    return shown


def test_a_drag_follows_in_longer_steps_and_ends_in_a_whole_run(user: User) -> None:
    session = user.window.session
    judged: list[Comparison] = []
    session.verdict_changed.connect(lambda comparison, _said: judged.append(comparison))
    shown = _drag(user, 0.3, 0.31, 0.32)
    assert [each.step_min for each in shown] == [STEP_MIN, MOVING_STEP_MIN, MOVING_STEP_MIN]
    assert not session.is_current
    # The first change is whole and may be judged already; those in longer steps never are.
    dragged = user.window.document.scenario
    user.wait_for(lambda: bool(judged) and judged[-1].scenario is dragged)
    assert {each.step_min for each in judged} == {STEP_MIN}
    assert session.is_current
    now, alone = session.comparison, simulate(user.window.document.scenario)
    assert now is not None
    for one, other in zip(now.runs, alone.runs, strict=True):
        assert one is not None
        assert other is not None
        assert np.array_equal(one.fraction, other.fraction)


def test_one_change_alone_is_worked_out_whole_at_once(user: User) -> None:
    assert [each.step_min for each in _drag(user, 0.3)] == [STEP_MIN]


def test_what_a_drag_shows_is_close_to_the_whole_run(user: User) -> None:
    *_, last = _drag(user, 0.3, 0.31)
    whole = simulate(last.scenario)
    every = round(MOVING_STEP_MIN / STEP_MIN)
    for rough, fine in zip(last.runs, whole.runs, strict=True):
        assert rough is not None
        assert fine is not None
        assert rough.fraction == pytest.approx(fine.fraction[::every], abs=0.003)


def test_what_is_held_and_read_out_stays_through_a_drag(user: User) -> None:
    view = user.window.day
    view.ghost.hold(True)
    held = view.ghost.held
    view.read.move(17 * 60 + 3)
    *_, last = _drag(user, 0.3, 0.31)
    assert last.step_min == MOVING_STEP_MIN
    assert view.ghost.held is held
    assert view.read.minute == 17 * 60 + 3
    # What is copied has a line for every quarter of an hour, whatever the steps.
    stamps = [line.split("\t")[0][-5:] for line in table_text(last).splitlines()[1:]]
    minutes = [int(stamp[:2]) * 60 + int(stamp[3:]) for stamp in stamps]
    assert {(after - before) % 1440 for before, after in pairwise(minutes)} == {15}


def test_a_drag_goes_on_from_what_was_read(user: User) -> None:
    window = user.window
    comparison = window.session.comparison
    assert comparison is not None
    at = comparison.clock.at(comparison.clock.steps - 1)
    window.now.form.wanted.emit(1, at, 3.0)
    shown = _drag(user, 0.3, 0.31)
    seen = window.day.chart.comparison
    assert seen is not None
    read = seen.runs[1]
    assert read is not None
    assert read.judged_from == read.clock.steps - 1
    assert shown[-1].step_min == read.clock.step_min == MOVING_STEP_MIN
    assert {run.clock.step_min for run in seen.runs if run is not None} == {MOVING_STEP_MIN}


def test_every_lens_follows_a_drag_and_ends_with_whole_runs(user: User) -> None:
    log = (FieldReading(at="20:00", used_ah=1.0), FieldReading(at="22:00", used_ah=2.0))
    user.window.document.edit("stations.1.readings", log)
    for number, kind in enumerate(KINDS):
        user.window.lenses.look_at(kind.key)
        user.settle()
        *_, last = _drag(user, 0.3 + number / 100, 0.305 + number / 100)
        assert last.step_min == MOVING_STEP_MIN
        user.wait_for(lambda: user.window.session.is_current)
        user.settle()
