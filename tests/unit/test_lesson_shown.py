"""What is shown after a reveal: the stations and figures asked for, and the table's reading."""

from __future__ import annotations

from pathlib import Path

import pytest

from model.lessons.entry import GuessError
from model.lessons.lesson_file import read_lesson
from model.lessons.measured import measured_truth, read_reading, unit_measured
from model.lessons.parts import Measurement, Shown
from model.lessons.run import StepRun, step_run
from model.lessons.shown_results import faults_of_shown, stations_shown, table_shown, uses_shown

FOLDER = Path(__file__).resolve().parents[2] / "scenarios" / "lessons"


@pytest.fixture(scope="module")
def two() -> StepRun:
    return step_run(read_lesson(FOLDER / "amplifier.toml"), 0)


def test_a_table_holds_only_the_stations_and_figures_asked_for(two: StepRun) -> None:
    comparison = two.comparison
    shown = Shown(result="table", stations=(2,), figures=("load_ah", "by_use_ah.receive"))
    table = table_shown(comparison, shown)
    assert table.names == ("Small radio and amplifier",)
    assert [row.key for row in table.rows] == ["load_ah", "by_use_ah.receive"]
    drawn = comparison.runs[1].sums.load_ah  # type: ignore[union-attr]
    assert table.rows[0].texts == (f"{drawn:.1f}",)
    assert table.rows[0].label == "Drawn in total, Ah"


def test_stations_and_uses_are_left_out_alike(two: StepRun) -> None:
    comparison = two.comparison
    assert stations_shown(comparison, Shown(result="uses")) == (0, 1)
    assert stations_shown(comparison, Shown(result="uses", stations=(1,))) == (0,)
    run = comparison.runs[0]
    assert run is not None
    bars = uses_shown(run, Shown(result="uses", figures=("transmit", "receive")))
    assert [bar.use for bar in bars] == ["receive", "transmit"]
    assert len(uses_shown(run, Shown(result="uses"))) > 2


@pytest.mark.parametrize(
    ("shown", "fault"),
    [
        (Shown(result="charge", stations=(3,)), "there is no station 3; there are 2"),
        (Shown(result="sun", figures=("load_ah",)), "sun is a curve: it has no figures"),
        (Shown(result="uses", figures=("recieve",)), 'there is no figure "recieve"; there are '),
        (Shown(result="table", figures=("load",)), 'there is no figure "load"; there are '),
    ],
)
def test_what_is_not_there_is_told(two: StepRun, shown: Shown, fault: str) -> None:
    (found,) = faults_of_shown(two.comparison, shown)
    assert found.startswith(fault)
    assert not list(faults_of_shown(two.comparison, Shown(result="table", figures=("load_ah",))))


def test_a_reading_from_the_table_stands_for_a_number_of_the_scenario() -> None:
    run = step_run(read_lesson(FOLDER / "tonight.toml"), 0)
    measure = Measurement(words="Receive current", path="stations.0.radio.receive_a")
    asked = StepRun(run.step.model_copy(update={"measure": measure}), run.scenario, None)
    start = run.comparison.clock.start
    assert unit_measured(asked.step) == "A"
    reading = read_reading("790 mA", asked.step, start, 1)
    assert reading == pytest.approx(0.79)
    # 9 Ah over 0.79 A instead of 0.75 A: shorter by 0.75 / 0.79.
    by_run = measured_truth(asked, 0.75)
    assert measured_truth(asked, 0.79).amount == pytest.approx(
        by_run.amount * 0.75 / 0.79, rel=0.01
    )
    assert read_reading("no meter", asked.step, start, 1) is None
    with pytest.raises(GuessError, match="850 mA"):
        read_reading("1 V", asked.step, start, 1)


def test_a_reading_without_a_path_is_an_answer() -> None:
    run = step_run(read_lesson(FOLDER / "tonight.toml"), 0)
    step = run.step.model_copy(update={"measure": Measurement(words="When it stopped")})
    reading = read_reading("06:20", step, run.comparison.clock.start, 1)
    assert reading == pytest.approx(11 + 1 / 3)
    assert measured_truth(StepRun(step, run.scenario, None), reading).words == "06:20"
    bare = run.step.model_copy(update={"measure": None})
    with pytest.raises(GuessError, match="nothing is measured"):
        read_reading("06:20", bare, run.comparison.clock.start, 1)
