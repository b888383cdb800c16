"""Logger tables made up from runs whose truth is known, and what becomes of them."""

from __future__ import annotations

from collections.abc import Callable
from datetime import timedelta

import numpy as np
import pytest

from model.editing.faults import ScenarioError
from model.engine.comparison import simulate
from model.engine.run import StationRun
from model.field.log_check import field_check
from model.field.logger_readings import Reduced, reduced
from model.field.logger_table import (
    LoggerTable,
    guessed_columns,
    is_out_positive,
    logged,
    read_table,
)
from model.field.observations import step_of
from model.files.csv_table import csv_text
from model.scenario.station import FieldReading
from tests.unit.scenario_maker import BATTERY, scenario

WATCH = {"start": "00:00", "end": "24:00", "activity": "watch"}


def made(tested: float = 1.0) -> StationRun:
    """Return a small battery under a watch, from the evening on: it ends in the night."""
    battery = BATTERY | {"capacity_ah": 5.0, "tested_fraction": tested, "charge_efficiency": 1.0}
    whole = scenario(
        day={"start_hour": 18.0, "days": 1},
        plan=(WATCH,),
        station={"battery": battery, "start_fraction": 1.0, "panel": None, "controller": None},
    )
    run = simulate(whole).runs[0]
    assert run is not None
    return run


@pytest.fixture(scope="module")
def planned() -> StationRun:
    return made()


@pytest.fixture(scope="module")
def truth() -> StationRun:
    return made(0.75)


def reduced_by_guess(table: LoggerTable, run: StationRun) -> Reduced:
    """Return what becomes of a table whose columns nobody has chosen."""
    columns = guessed_columns(table)
    sign = is_out_positive(table, columns)
    return reduced(logged(table, columns, run, out_is_positive=sign), run)


Stamp = Callable[[StationRun, int], str]


def iso(run: StationRun, step: int) -> str:
    return f"{run.clock.at(step):%Y-%m-%d %H:%M}"


def day_first(run: StationRun, step: int) -> str:
    return f"{run.clock.at(step):%d.%m.%Y %H:%M:%S}"


def month_first(run: StationRun, step: int) -> str:
    return f"{run.clock.at(step):%m/%d/%Y %I:%M %p}"


def clock_only(run: StationRun, step: int) -> str:
    return f"{run.clock.at(step):%H:%M:%S}"


def epoch(run: StationRun, step: int) -> str:
    return f"{run.clock.at(step).timestamp():.0f}"


def rows_of(run: StationRun, stamp: Stamp, sign: float = 1.0) -> list[tuple[str, float, float]]:
    flow = run.flow
    return [
        (stamp(run, step), round(sign * float(flow.battery_a[step]), 4),
         round(float(flow.battery_v[step]), 3))
        for step in range(run.clock.steps)
    ]  # fmt: skip


@pytest.mark.parametrize("stamp", [iso, day_first, month_first, clock_only, epoch])
@pytest.mark.parametrize("sign", [1.0, -1.0])
def test_any_clock_and_either_sign_gives_the_same_ah_and_the_end(
    planned: StationRun, truth: StationRun, stamp: Stamp, sign: float
) -> None:
    rows = rows_of(truth, stamp, sign)
    # Volts before time before current.
    table = read_table(
        csv_text(["Voltage (V)", "Time", "Current (A)"], [(v, t, a) for t, a, v in rows])
    )
    columns = guessed_columns(table)
    assert columns == {"time": "Time", "amps": "Current (A)", "volts": "Voltage (V)"}
    assert is_out_positive(table, columns) is (sign > 0)
    found = reduced_by_guess(table, planned)
    assert not found.gaps
    assert not found.notes
    gone = truth.clocks.receive.until
    assert gone is not None
    [end] = [each for each in found.readings if each.event == "off"]
    # A minute of the run is a row of the table.
    assert (
        abs(step_of(planned, end) - round((gone - truth.clock.start) / timedelta(minutes=1))) <= 2
    )
    for each in found.readings:
        if each.used_ah is not None:
            step = step_of(planned, each)
            assert step is not None
            gone_ah = float(truth.flow.stored_ah[0] - truth.flow.stored_ah[step])
            assert each.used_ah == pytest.approx(gone_ah, abs=0.04)


def test_a_steady_load_in_the_dark_is_one_reading(planned: StationRun, truth: StationRun) -> None:
    table = read_table(csv_text(["time", "amps", "volts"], rows_of(truth, iso)))
    found = reduced_by_guess(table, planned)
    [load] = [each for each in found.readings if each.load_a is not None]
    assert load.load_a == pytest.approx(float(truth.flow.load_a[60]), rel=0.02)


def test_a_tired_battery_is_found_from_a_logger(planned: StationRun, truth: StationRun) -> None:
    chance = np.random.default_rng(5)
    noisy = [
        (at, a * (1 + 0.01 * chance.standard_normal()), v)
        for at, a, v in rows_of(truth, iso)
    ]  # fmt: skip
    table = read_table(csv_text(["time", "amps", "volts"], noisy))
    log = reduced_by_guess(table, planned).readings
    check = field_check(planned, log)
    assert check.found is not None
    assert check.found.causes[0].unknown.key == "battery"
    assert check.found.causes[0].factor == pytest.approx(0.75, abs=0.04)


def test_nothing_is_counted_across_a_gap(planned: StationRun, truth: StationRun) -> None:
    rows = [row for at, row in enumerate(rows_of(truth, iso)) if not 150 < at < 240]
    table = read_table(csv_text(["time", "amps", "volts"], rows))
    found = reduced_by_guess(table, planned)
    [gap] = found.gaps
    assert (gap.begin_h, gap.end_h) == (2.5, 4.0)
    assert "Without rows from" in found.notes[0]
    assert "counted up to" in found.notes[1]
    counted = [each for each in found.readings if each.used_ah is not None]
    assert [each.at for each in counted] == ["20:00"]
    assert any(each.event == "off" for each in found.readings)


def test_a_log_that_begins_late_counts_nothing_and_says_so(
    planned: StationRun, truth: StationRun
) -> None:
    table = read_table(csv_text(["time", "amps"], [row[:2] for row in rows_of(truth, iso)[120:]]))
    found = reduced_by_guess(table, planned)
    assert all(each.used_ah is None for each in found.readings)
    assert "begins 2\N{NO-BREAK SPACE}h after the run" in found.notes[0]


def test_semicolons_decimal_commas_a_date_apart_and_lines_that_are_no_rows(
    planned: StationRun,
) -> None:
    text = "Logger 7\nserial;42\nDate;Time;Volts;Amps\n" + "".join(
        f"{planned.clock.at(step):%d.%m.%Y;%H:%M};13,2;{'0,30' if step != 5 else 'error'}\n"
        for step in range(60)
    )
    table = read_table(text)
    columns = guessed_columns(table)
    assert columns == {"date": "Date", "time": "Time", "amps": "Amps", "volts": "Volts"}
    log = logged(table, columns, planned, out_is_positive=True)
    assert log.refused == 1
    assert log.battery_a == pytest.approx(np.full(59, 0.3))
    assert log.elapsed_h[-1] == pytest.approx(59 / 60)
    assert "1 row could not be read" in reduced(log, planned).notes[0]


def test_elapsed_hours_are_of_the_run(planned: StationRun) -> None:
    table = read_table("elapsed h,amps\n0,0.3\n0.5,0.3\n1.0,0.4\n")
    log = logged(table, guessed_columns(table), planned, out_is_positive=True)
    assert log.elapsed_h.tolist() == [0.0, 0.5, 1.0]


@pytest.mark.parametrize(
    ("text", "columns"),
    [
        # Two columns of numbers whose heads say nothing: a person is asked.
        ("when,first,second\n2027-03-01 08:00,1,2\n", {}),
        # One alone is the current, whatever it is called; words are no current.
        ("when,x\n2027-03-01 08:00,1\n", {"time": "when", "amps": "x"}),
        ("date,current,I\n2027-03-01 08:00,low,1\n", {"time": "date", "amps": "I"}),
        ("Battery volts,I_batt_A,ts stamp\n13,1,2027-03-01 08:00\n",
         {"time": "ts stamp", "amps": "I_batt_A", "volts": "Battery volts"}),
        ("a,b\nx,y\n", {}),
    ],
)  # fmt: skip
def test_what_heads_and_numbers_tell_of_the_columns(text: str, columns: dict[str, str]) -> None:
    assert guessed_columns(read_table(text)) == columns


@pytest.mark.parametrize(
    ("rows", "words"),
    [
        ("", "no two rows with a time"),
        ("0,0.3\n0,0.4\n0,0.5\n", "no two rows with a time"),
        ("0,1e308\n1,1e308\n", "no two rows with a time"),
        ("9999-12-31 23:59,1\n0001-01-01 00:00,2\n", "no two rows with a time"),
        ("2029-01-01 00:00,1\n2029-01-01 01:00,2\n", "no two rows within 36 hours of the run"),
        ("99999999999999999999,1\n99999999999999999998,2\n", "no two rows within 36 hours"),
    ],
)
def test_rows_that_cannot_be_of_the_run_are_refused_in_a_line(
    planned: StationRun, rows: str, words: str
) -> None:
    with pytest.raises(ScenarioError, match=words) as refused:
        logged(
            read_table(f"elapsed h,amps\n{rows}"), {"time": "elapsed h", "amps": "amps"}, planned,
            out_is_positive=True,
        )  # fmt: skip
    assert "\n" not in str(refused.value)


def test_rows_of_other_weeks_are_left_alone(planned: StationRun) -> None:
    table = read_table("elapsed h,amps\n-9000,7\n0,0.3\n0.5,0.3\n90000,7\n")
    log = logged(table, guessed_columns(table), planned, out_is_positive=True)
    assert (log.elapsed_h.tolist(), log.refused) == ([0.0, 0.5], 0)


@pytest.mark.parametrize("text", ["", "nothing\n", "a\nb\nc\n"])
def test_what_is_no_table_is_said_in_a_line(text: str) -> None:
    with pytest.raises(ScenarioError, match="column of times"):
        read_table(text)


def test_a_column_that_is_not_there_and_rows_that_say_nothing(planned: StationRun) -> None:
    table = read_table("time,amps\nx,y\nz,q\n")
    both = {"time": "time", "amps": "amps"}
    with pytest.raises(ScenarioError, match='has no column "volts" for volts'):
        logged(table, both | {"volts": "volts"}, planned, out_is_positive=True)
    with pytest.raises(ScenarioError, match="no two rows"):
        logged(table, both, planned, out_is_positive=True)
    with pytest.raises(ScenarioError, match='has no column for amps, such as "amps"'):
        logged(read_table("time,x\n1,2\n3,4\n"), {"time": "time"}, planned, out_is_positive=True)


def test_rest_of_half_an_hour_gives_rested_volts(planned: StationRun) -> None:
    rows = [(iso(planned, step), 0.0 if step > 60 else 0.3, 13.1) for step in range(120)]
    table = read_table(csv_text(["time", "amps", "volts"], rows))
    found = reduced_by_guess(table, planned)
    rested = [each for each in found.readings if each.at_rest]
    assert [(each.at, each.battery_v) for each in rested] == [("19:59", 13.1)]
    assert FieldReading(day=1, at="19:01", event="off", note="from the logger") in found.readings
