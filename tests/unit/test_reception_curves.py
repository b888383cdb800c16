"""Shares against power, the band and hour to begin with, and tables that come by a pipe."""

from __future__ import annotations

import io
import sys
from pathlib import Path
from types import SimpleNamespace

import numpy as np
import pytest

from model.editing.faults import ScenarioError
from model.editing.paths import with_values
from model.engine.comparison import simulate
from model.files.scenario_file import read_scenario
from model.reception.cells import Cell
from model.reception.power_curves import drawn_modes, drawn_powers_w, power_curve, power_words
from model.reception.station_answers import StationAnswers, station_answers
from model.reception.table_reading import heads_of, read_reports, reports_in
from model.reception.thresholds import FT8, MORSE, VOICE
from tests.plain import plain

ROOT = Path(__file__).resolve().parents[2]
HEADS = b"time,snr,power,mode,band\n"
ROW = b"2027-03-05 21:15,-12,8,FT8,40 m\n"


@pytest.fixture(scope="module")
def found() -> StationAnswers:
    ridge = simulate(read_scenario(ROOT / "scenarios" / "ridge-weekend.toml"))
    return station_answers(
        read_reports(ROOT / "scenarios" / "reports-example.csv", "Europe/Berlin"), ridge, 0
    )


@pytest.fixture
def cell(found) -> Cell:
    return found.cells[found.first_row].cell


def test_it_begins_with_the_hour_of_a_net(found, cell):
    # The evening net of the ridge is from 20:30 to 21:30: both hours count, the fuller is shown.
    assert (cell.band, cell.hour, cell.reports) == ("80 m", 21, 164)
    fewer = with_values(
        found.scenario,
        {"plan.3.end": "19:30", "plan.4.start": "19:30", "plan.4.end": "20:15",
         "plan.5.start": "20:15"},
    )  # fmt: skip
    at_8 = StationAnswers(fewer, 0, found.powers_w, None, found.cells, (), ())
    assert at_8.cells[at_8.first_row].cell.hour == 20
    assert StationAnswers(fewer, 0, found.powers_w, None, (), (), ()).first_row == -1


def test_powers_reach_from_a_tenth_to_ten_times_and_hold_those_of_the_kit(cell):
    powers_w = drawn_powers_w(cell, (10.0, 100.0))
    assert powers_w[0] == pytest.approx(0.8)
    assert powers_w[-1] == pytest.approx(1000.0)
    assert {8.0, 10.0, 100.0} <= set(powers_w)
    steps_db = 10 * np.diff(np.log10(powers_w))
    assert 0.1 < steps_db.min() < steps_db.max() < 0.6


def test_a_curve_rises_and_ends_where_nothing_is_known(cell):
    assert drawn_modes(cell) == (VOICE, MORSE, FT8)
    powers_w = drawn_powers_w(cell, (10.0, 100.0))
    voice = [answer.share.share for answer in power_curve(cell, VOICE, powers_w)]
    assert (np.diff(voice) >= 0.0).all()
    known = [answer.power_w for answer in power_curve(cell, FT8, powers_w) if answer.share]
    # More power than that of the reports, in their own mode, is not known.
    assert max(known) == 8.0


def test_a_power_is_read_out_in_words(cell):
    answers = tuple(power_curve(cell, mode, (10.046,))[0] for mode in drawn_modes(cell))
    said = plain(power_words(answers))
    assert said.startswith("10 W: voice about 3 in 10 (2 to 4); Morse more than 9 in 10")
    assert said.endswith("FT8 not known.")


def test_headings_are_refused_like_the_table_itself():
    for data, said in (
        (b"", "is empty"), (b"\0\1", "is no text"), (b"\xff\xfe\xfa\n", "holds no headings"),
    ):  # fmt: skip
        with pytest.raises(ScenarioError) as refused:
            heads_of(data, "x.csv")
        assert str(refused.value) == f"x.csv: {said}"


def test_a_pipe_is_read_like_a_file_and_may_be_closed(monkeypatch):
    monkeypatch.setattr(sys, "stdin", SimpleNamespace(buffer=io.BytesIO(HEADS + ROW)))
    assert read_reports("-", "UTC").rows == 1
    monkeypatch.setattr(sys, "stdin", SimpleNamespace(buffer=io.BytesIO(b"")))
    with pytest.raises(ScenarioError, match="standard input: is empty"):
        read_reports("-", "UTC")
    monkeypatch.setattr(sys, "stdin", None)
    with pytest.raises(ScenarioError, match="standard input: is closed"):
        read_reports("-", "UTC")


@pytest.mark.parametrize(
    ("old", "new", "said"),
    [
        (b"FT8", b"", "mode: is missing"),
        (b"40 m", b"x" * 300, "band: the cell is too long"),
        (b"8,FT8", b"1e9,FT8", "power: must be 1e-06 to 5000 W"),
        (b",8,", b",1_0,", "power: must be a number"),
    ],
)
def test_a_cell_that_means_nothing_is_named(old, new, said):
    with pytest.raises(ScenarioError, match="line 2") as refused:
        reports_in(HEADS + ROW.replace(old, new), "x.csv", "UTC")
    assert said in str(refused.value)


def test_no_end_of_modes_and_bands_is_refused():
    modes = b"".join(ROW.replace(b"FT8", b"M%d" % n) for n in range(70))
    with pytest.raises(ScenarioError, match="more than 60 modes"):
        reports_in(HEADS + modes, "x.csv", "UTC")
    bands = b"".join(ROW.replace(b"40 m", b"B%d" % n) for n in range(70))
    with pytest.raises(ScenarioError, match="more than 60 bands"):
        reports_in(HEADS + bands, "x.csv", "UTC")


def test_what_repeats_no_more_is_forgotten(monkeypatch):
    monkeypatch.setattr("model.reception.table_reading._TIMES_KEPT", 3)
    rows = [
        f"2027-03-05 21:{minute:02d},-12,{minute + 1},FT8,{minute % 12 + 1} m\n"
        for minute in range(30)
    ]
    found = reports_in(HEADS + "".join(rows).encode(), "x.csv", "UTC")
    assert found.power_w.tolist() == [minute + 1.0 for minute in range(30)]
    assert [found.bands[at] for at in found.band] == [
        f"{minute % 12 + 1} m" for minute in range(30)
    ]
