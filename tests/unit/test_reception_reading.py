"""Tables of reception reports: what is read, and what is refused in one line each."""

from __future__ import annotations

import math
import tracemalloc
from datetime import datetime
from pathlib import Path

import pytest

from model.editing.faults import ScenarioError
from model.files.column_mapping import Column, MappingError, mapped
from model.reception.bands import band_at, band_named
from model.reception.cells import cells_of
from model.reception.table_reading import (
    FAULTS_LIMIT,
    FILE_LIMIT_BYTES,
    heads_of,
    read_reports,
    reports_in,
)

EXAMPLE = Path(__file__).resolve().parents[2] / "scenarios" / "reports-example.csv"
HEADS = "time,snr_db,power_w,mode,band\n"
ROW = "2027-03-05 21:15,-12,8,FT8,40 m\n"
ZONE = "Europe/Berlin"


def read(text: str | bytes, chosen=None):
    data = text if isinstance(text, bytes) else text.encode()
    return reports_in(data, "mine.csv", ZONE, chosen)


def lines(text: str | bytes, chosen=None) -> list[str]:
    with pytest.raises(ScenarioError) as refused:
        read(text, chosen)
    return [str(fault) for fault in refused.value.faults]


def test_the_example_is_read_and_says_that_it_is_invented():
    text = EXAMPLE.read_text(encoding="utf-8")
    assert text.startswith("# Invented")
    found = read_reports(EXAMPLE, ZONE)
    assert found.rows == text.count("\n") - 2
    assert (found.whole_db, found.lists_attempts, found.other_modes) == (True, False, ())
    fullest, other, few = cells_of(found)
    assert [fullest.is_enough, other.is_enough, few.is_enough] == [True, True, False]
    assert {fullest.hour, other.hour, few.hour, few.band} == {20, 21, 7, "40 m"}


def test_a_night_is_one_evening_and_hours_are_those_of_the_site():
    found = read(
        HEADS
        + "2027-03-05 21:15,-12,8,FT8,40 m\n"
        + "2027-03-06T02:30:15Z,-12,8,FT8,40 m\n"
        + "2027-03-06T11:59:00+01:00,-12,8,FT8,40 m\n"
        + "2027-03-06T12:00:00+01:00,-12,8,FT8,40 m\n"
        + "20270701T2010,-12,8,FT8,40 m\n"
    )
    first = datetime(2027, 3, 5).toordinal()  # noqa: DTZ001  a local day
    assert (found.evening - first).tolist()[:4] == [0, 0, 0, 1]
    assert found.hour.tolist() == [22, 3, 11, 12, 22]


def test_headings_are_known_by_their_words_and_by_what_a_person_says():
    told = "Mode;SNR (dB);TX Power;UTC;QRG\nFT8;-3,5;2,5;2027-03-05 21:15;7,074\n"
    found = read(told)
    assert (found.snr_db[0], found.power_w[0], found.bands) == (-3.5, 2.5, ("40 m",))
    assert not found.whole_db
    mine = "when,how loud,with,what\n2027-03-05 21:15,-3,2.5,FT8\n"
    assert lines(mine) == ['mine.csv: has no column for time, such as "time"']
    chosen = {"time": "when", "snr_db": "How loud", "power": "with", "mode": "what"}
    assert read(mine, chosen).snr_db[0] == -3.0
    assert heads_of(mine.encode(), "mine.csv") == ("when", "how loud", "with", "what")


def test_power_in_dbm_is_read_as_beacons_name_it():
    found = read("time,snr,power_dbm,mode\n2027-03-05 21:15,-12,37,WSPR\n")
    assert found.power_w[0] == 5.01
    assert 10 * math.log10(found.power_w[0] * 1000) == pytest.approx(37.0, abs=0.01)


@pytest.mark.parametrize(
    ("old", "new", "snr_db", "watts"),
    [
        ("-12", "+3 dB", 3.0, 8.0), ("-12", "−12\u00a0dB", -12.0, 8.0),
        ("-12", "-12dB", -12.0, 8.0), (",8,", ",8 W,", -12.0, 8.0),
        (",8,", ",500 mW,", -12.0, 0.5), (",8,", ",0.1kW,", -12.0, 100.0),
        # 40 dBm are 10 W by the definition of the decibel over a milliwatt.
        (",8,", ",40 dBm,", -12.0, 10.0),
    ],
)  # fmt: skip
def test_a_number_may_name_its_unit(old, new, snr_db, watts):
    found = read(HEADS + ROW.replace(old, new))
    assert (found.snr_db[0], found.power_w[0]) == (snr_db, pytest.approx(watts))


@pytest.mark.parametrize(
    ("head", "text"),
    [("power_mw", "8000"), ("power_dbm", "39.03"), ("TX power, mW", "8000"), ("TX Power (W)", "8")],
)
def test_a_heading_names_the_unit_of_its_column(head, text):
    table = f"time;snr;{head};mode\n2027-03-05 21:15;-12;{text};FT8\n"
    assert read(table, {"power": head}).power_w[0] == pytest.approx(8.0, abs=0.005)


@pytest.mark.parametrize(
    ("head", "text", "band"),
    [
        ("freq", "7.074", "40 m"), ("freq", "7.074 MHz", "40 m"), ("freq_khz", "7074", "40 m"),
        ("Frequency, Hz", "7074000", "40 m"), ("freq", "7074 kHz", "40 m"),
        ("band", "40M", "40 m"), ("band", "40", "40 m"), ("band", "7", "40 m"),
        ("band", "14.074", "20 m"), ("band", "70cm", "70 cm"), ("band", "", ""),
        ("freq", "1296", "another band"),
    ],
)  # fmt: skip
def test_a_band_is_known_by_wavelength_or_frequency(head, text, band):
    chosen = {"frequency_mhz": head} if head != "band" else None
    table = f"time;snr;power;mode;{head}\n2027-03-05 21:15;-12;8;FT8;{text}\n"
    assert read(table, chosen).bands == (band,)


def test_a_frequency_in_another_unit_is_no_other_band():
    table = "time,snr,power,mode,freq\n2027-03-05 21:15,-12,8,FT8,7074\n"
    assert lines(table) == [
        'mine.csv: line 2: frequency_mhz: "7074" is in no amateur band as MHz: a heading such as'
        " frequency_khz names the unit"
    ]


def test_a_date_may_stand_apart_and_a_local_clock_is_told_by_its_heading():
    rows = "{0},212959,-12,8,FT8\n{0},0:15,-12,8,FT8\n{0},2115,-12,8,FT8\n"
    found = read("qso_date,time_on,snr,power,mode\n" + rows.format("20270305"))
    # An hour later than UTC in March; a quarter past midnight is of the evening before.
    assert found.hour.tolist() == [22, 1, 22]
    assert (found.evening - found.evening[0]).tolist() == [0, -1, 0]
    local = read("date,local time,snr,power,mode\n" + rows.format("2027-03-05"))
    assert local.hour.tolist() == [21, 0, 21]
    assert lines(HEADS + ROW.replace(" 21:15", "")) == [
        'mine.csv: line 2: time: must read like 2027-03-05 21:15, got "2027-03-05"'
    ]


def test_a_report_that_stands_twice_counts_once_where_a_column_tells_paths_apart():
    rows = "".join(ROW.strip() + f",{who}\n" for who in "abacab")
    found = read(HEADS.strip() + ",heard by\n" + rows)
    assert (found.rows, found.repeats) == (3, 3)
    # Two paths may be alike where nothing tells them apart.
    assert (read(HEADS + ROW * 6).rows, read(HEADS + ROW * 6).repeats) == (6, 0)


def test_a_row_without_a_ratio_is_an_attempt():
    found = read(HEADS + ROW + "2027-03-05 21:15,,8,FT8,40 m\n")
    assert found.lists_attempts
    (cell,) = cells_of(found)
    assert (cell.reports, cell.missed.tolist()) == (1, [1.0])


def test_modes_without_a_known_threshold_are_counted():
    found = read(HEADS + ROW + ROW.replace("FT8", "Olivia") * 3)
    assert (found.rows, found.other_modes) == (1, (("Olivia", 3),))


HOSTILE = {
    "empty": ("", ["mine.csv: is empty"]),
    "remarks alone": ("# a\n# b\n", ["mine.csv: is empty"]),
    "headings alone": (HEADS, ["mine.csv: holds headings and no report"]),
    "binary": (b"\x89PNG\r\n\x1a\n\0\0\0\rIHDR", ["mine.csv: is no text"]),
    "no utf-8": (HEADS.encode() + b"\xff\xfe\xfa\n", ["mine.csv: is no UTF-8 text"]),
    "wrong columns": ("a,b,c\n1,2,3\n", ['mine.csv: has no column for time, such as "time"']),
    "twice": (
        "time,time,snr,power,mode\n", ['mine.csv: the column "time" stands there twice'],
    ),
    "nan": (
        HEADS + ROW.replace("-12", "nan"),
        ['mine.csv: line 2: snr_db: must be a number, got "nan"'],
    ),
    "endless": (
        HEADS + ROW.replace("-12", "1e400"),
        ['mine.csv: line 2: snr_db: must be a number, got "1e400"'],
    ),
    "too strong": (
        HEADS + ROW.replace("-12", "1000"),
        ["mine.csv: line 2: snr_db: must be -60 to 100 dB, got 1000"],
    ),
    "no power": (
        HEADS + ROW.replace(",8,", ",0,"),
        ['mine.csv: line 2: power: must be 1e-06 to 5000 W, got "0"'],
    ),
    "no time": (
        HEADS + ROW.replace("2027-03-05 21:15", "yesterday"),
        ['mine.csv: line 2: time: must read like 2027-03-05 21:15, got "yesterday"'],
    ),
    "short": (HEADS + "2027-03-05 21:15,-12\n",
              ["mine.csv: line 2: has 2 cells, fewer than the headings"]),
    "other modes": (
        HEADS + ROW.replace("FT8", "Olivia"),
        ["mine.csv: holds no report in a mode whose threshold is known; modes are"
         ' "Olivia"'],
    ),
    "a quote": (HEADS + '"' + "x" * 200_000,
                ["mine.csv: is no table: a cell is too long or a quote does not end"]),
}  # fmt: skip


@pytest.mark.parametrize("name", HOSTILE)
def test_what_is_no_table_of_reports_is_refused_in_one_line(name):
    text, said = HOSTILE[name]
    assert lines(text) == said


def test_many_faults_end_after_some():
    found = lines(HEADS + ROW.replace("-12", "x") * 50)
    assert len(found) == FAULTS_LIMIT + 1
    assert found[-1] == "mine.csv: the rest was not read: too many faults"


def test_a_date_at_the_end_of_time_is_a_fault_and_no_traceback():
    assert lines(HEADS + ROW.replace("2027-03-05 21:15", "0001-01-01 00:00"))[0].startswith(
        "mine.csv: line 2: time:"
    )


def test_a_huge_file_and_a_missing_one_are_named(tmp_path):
    huge = tmp_path / "huge.csv"
    with huge.open("wb") as file:
        file.truncate(FILE_LIMIT_BYTES + 1)
    for path, words in (
        (huge, "huge.csv: is larger than 100 MB"),
        (tmp_path / "none.csv", "none.csv: there is no such file or folder"),
        (tmp_path, f"{tmp_path.name}: is not a file"),
    ):
        with pytest.raises(ScenarioError) as refused:
            read_reports(path, ZONE)
        assert str(refused.value) == words


def test_a_row_takes_a_bounded_room_beside_the_file():
    rows = 40_000
    text = (HEADS + ROW * rows).encode()
    tracemalloc.start()
    try:
        found = read(text)
        peak_bytes = tracemalloc.get_traced_memory()[1]
    finally:
        tracemalloc.stop()
    assert found.rows == rows
    # Six numbers of eight bytes, twice while they become arrays, and the text once more.
    assert peak_bytes < 200 * rows


@pytest.mark.parametrize(
    ("mhz", "band"), [(3.65, "80 m"), (7.3, "40 m"), (14.074, "20 m"), (5.0, "another band")]
)
def test_bands_by_frequency(mhz, band):
    assert band_at(mhz) == band


@pytest.mark.parametrize(("text", "band"), [("40M", "40 m"), ("70 cm", "70 cm"), ("HF", "HF")])
def test_bands_by_name(text, band):
    assert band_named(text) == band


def test_a_column_that_nobody_knows_cannot_be_chosen():
    with pytest.raises(MappingError, match="is no column; known are a"):
        mapped(["x"], [Column("a", ("a",))], {"b": "x"})
    with pytest.raises(MappingError, match='has no column "y" for a'):
        mapped(["x"], [Column("a", ("a",))], {"a": "y"})
    with pytest.raises(MappingError, match="has 300 columns, more than 200"):
        mapped(["x"] * 300, [Column("a", ("a",))])


def test_more_rows_than_a_table_may_have_are_refused_in_one_line(monkeypatch):
    monkeypatch.setattr("model.reception.table_reading.ROWS_LIMIT", 10)
    assert read(HEADS + ROW * 10).rows == 10
    assert lines(HEADS + ROW * 11) == ["mine.csv: has more than 10 rows"]
