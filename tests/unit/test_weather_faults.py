"""Damaged, wrong and huge weather files: one line each, which names the file."""

from __future__ import annotations

import gzip
import random
from datetime import date
from pathlib import Path

import pytest

from model.editing.faults import ScenarioError
from model.files import weather_file
from model.files.weather_file import FILE_LIMIT_BYTES, read_weather_file
from model.sky.daily_weather import day_sums
from tests.unit import weather_makers as make

MAY = date(2019, 5, 10)
LIGHT = make.share_of(make.RIDGE, 0.5)
EPW = make.epw(make.RIDGE, MAY, 2, LIGHT)
BSRN = make.bsrn(make.RIDGE, MAY, 1, LIGHT)
SURFRAD = make.surfrad(make.DESERT, MAY, LIGHT)
HOURLY = make.pvgis_hourly_csv(make.RIDGE, MAY, 2, LIGHT)
HOURLY_JSON = make.pvgis_hourly_json(make.RIDGE, MAY, 2, LIGHT)
NSRDB = make.nsrdb(make.RIDGE, MAY, 2, LIGHT)
TMY2 = make.tmy2(make.RIDGE, 2, LIGHT, "NOWHERE")
TMY3 = make.tmy3(make.RIDGE, MAY, 2, LIGHT, lambda _: 1991)
ALL = {
    "EPW": EPW, "BSRN": BSRN, "SURFRAD": SURFRAD, "PVGIS": HOURLY, "PVGIS JSON": HOURLY_JSON,
    "NSRDB": NSRDB, "TMY2": TMY2, "TMY3": TMY3,
}  # fmt: skip


def fault_of(path: Path) -> str:
    with pytest.raises(ScenarioError) as refused:
        read_weather_file(path)
    (fault,) = refused.value.faults
    assert "\n" not in str(fault)
    return str(fault)


def without_lines(text: str, *, after: int) -> str:
    return "\n".join(text.split("\n")[:after]) + "\n"


REFUSED: dict[str, tuple[str | bytes, str]] = {
    "nothing": (b"", "is empty"),
    "blanks": (b" \n\n ", "is empty"),
    "noise": (bytes(range(256)) * 4, "is no weather file of a known kind"),
    "a scenario": ('format = 2\ntitle = "a"\n', "is no weather file of a known kind"),
    "a zip": (b"PK\x03\x04" + b"\0" * 40, "is a zip archive; unpack it first"),
    "UTF-16": (EPW.encode("utf-16"), "is UTF-16 text; save it as UTF-8"),
    "a torn gzip": (gzip.compress(BSRN.encode())[:2000], "is damaged: it does not unpack"),
    "JSON of another": ('{"outputs": {"days": []}}', "is JSON, but not of PVGIS"),
    "half a JSON": (HOURLY_JSON[: len(HOURLY_JSON) // 2], "is JSON, but not of PVGIS"),
    "deep JSON": ("{" + '"a":[' * 100_000, "is JSON, but not of PVGIS"),
    "EPW without rows": (without_lines(EPW, after=8), "holds fewer than two rows"),
    "EPW without a head": (EPW.replace("DATA PERIODS", "DATA"), 'has no line "DATA PERIODS"'),
    "EPW of quarter hours": (EPW.replace("PERIODS,1,1", "PERIODS,1,4"), "several rows an hour"),
    "EPW with text": (EPW.replace("9999,9999,0.00", "9999,9999,none"), "has text where"),
    "EPW nowhere": (EPW.replace(",47.0,", ",147.0,"), "names no place on Earth"),
    "EPW without light": (
        "\n".join(
            ",".join([*line.split(",")[:13], "9999", *line.split(",")[14:]])
            if line.startswith("2019") else line
            for line in EPW.split("\n")
        ),
        "holds no light on the level",
    ),
    "BSRN without measurements": (BSRN.split("*C0100")[0], "holds no basic measurements"),
    "BSRN without a place": (without_lines(BSRN, after=4), "is damaged: it begins as BSRN"),
    "SURFRAD cut off": (SURFRAD[:-100], "is no row of 48 numbers"),
    "SURFRAD without rows": (without_lines(SURFRAD, after=2), "holds fewer than two rows"),
    "PVGIS tilted": (make.pvgis_hourly_csv(make.RIDGE, MAY, 2, LIGHT, slope=35),
                     "holds the light on a plane tilted by 35°; ask for slope 0"),
    "PVGIS moving": (HOURLY.replace("Slope: 0 deg. \r\n", ""), "holds the light on a moving plane"),
    "PVGIS without light": (HOURLY.replace("G", "P"), "holds no light"),
    "PVGIS cut off": (HOURLY.rsplit("\r\n\r\n", 1)[0][:-12], "line 57 holds 6 values, not 8"),
    "half a PVGIS year": (
        without_lines(make.pvgis_tmy_csv(make.RIDGE, LIGHT), after=4000),
        "holds fewer than the 8760 hours of a typical year",
    ),
    "PVGIS head alone": (without_lines(HOURLY, after=6), "is damaged: it begins as PVGIS"),
    "NSRDB without a zone": (NSRDB.replace("Time Zone", "Zone"), "gives no Time Zone"),
    "NSRDB without light": (NSRDB.replace("GHI", "GII"), "holds no column GHI"),
    "TMY2 cut off": (TMY2[:-30], "is damaged: it begins as TMY2"),
    "TMY3 without a place": (TMY3.replace("47.0,9.5", "x,y"), "is damaged: it begins as TMY3"),
    "the year 1949": (EPW.replace("\n2019,", "\n1949,"), "holds dates outside 1950 to 2149"),
    "one row": (without_lines(EPW, after=9), "holds fewer than two rows"),
    "rows of three hours": (
        "\n".join([*EPW.split("\n")[:8], *EPW.split("\n")[8::3]]), "has rows 180 minutes apart"
    ),
}  # fmt: skip


@pytest.mark.parametrize(("data", "words"), REFUSED.values(), ids=REFUSED)
def test_what_is_no_whole_weather_file_is_refused_in_a_line(
    tmp_path: Path, data: str | bytes, words: str
) -> None:
    path = tmp_path / "ridge.dat"
    path.write_bytes(data if isinstance(data, bytes) else data.encode())
    said = fault_of(path)
    assert said.startswith("ridge.dat: ")
    assert words in said


def test_what_is_not_there_or_no_file_is_named(tmp_path: Path) -> None:
    assert fault_of(tmp_path / "none.epw") == "none.epw: there is no such file or folder"
    assert fault_of(tmp_path).endswith(": is not a file")


def test_a_huge_file_is_not_read_whole(tmp_path: Path) -> None:
    path = tmp_path / "huge.epw"
    with path.open("wb") as file:
        # A file of holes: it takes no room on the disk.
        file.truncate(50 * FILE_LIMIT_BYTES)
    assert fault_of(path) == "huge.epw: is too large; a weather file may hold at most 40 MB"


def test_a_small_file_that_unpacks_to_a_huge_one_is_not_unpacked_whole(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    path = tmp_path / "bomb.dat.gz"
    path.write_bytes(gzip.compress(b" " * 3_000_000))
    monkeypatch.setattr(weather_file, "FILE_LIMIT_BYTES", 1_000_000)
    assert "is too large" in fault_of(path)


@pytest.mark.parametrize(("kind", "text"), ALL.items(), ids=ALL)
def test_a_damaged_file_is_read_or_refused_and_nothing_else(
    tmp_path: Path, kind: str, text: str
) -> None:
    chance = random.Random(kind)
    path = tmp_path / "weather"
    data = text.encode()[:60_000] if kind in ("BSRN", "SURFRAD") else text.encode()
    for _ in range(25):
        path.write_bytes(damaged(data, chance))
        said = what_is_said(path)
        assert said.startswith(("days", "weather: "))
        assert "\n" not in said


def what_is_said(path: Path) -> str:
    try:
        return f"days {len(day_sums(read_weather_file(path)))}"
    except ScenarioError as error:
        return "\n".join(map(str, error.faults))


def damaged(data: bytes, chance: random.Random) -> bytes:
    at, length = chance.randrange(len(data)), chance.randrange(1, 200)
    how = chance.randrange(4)
    if how == 0:
        return data[:at]
    if how == 1:
        return data[:at] + data[at + length :]
    if how == 2:
        return data[:at] + chance.randbytes(min(length, 8)) + data[at + 8 :]
    return data[:at] + data[at : at + length] * 3 + data[at:]
