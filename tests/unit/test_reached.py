"""The share of the model that the unit tests reach may rise and never fall."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from tests.reached import LEAST, faults, main, raised, shares_percent

ROOMS = Path(__file__).resolve().parents[2] / "model"


def of_file(covered: int, statements: int) -> dict[str, dict[str, int]]:
    return {"summary": {"covered_lines": covered, "num_statements": statements}}


REPORT = {
    "files": {
        "model/sky/trip.py": of_file(30, 40),
        "model/sky/weather.py": of_file(60, 60),
        "model\\station\\fuses.py": of_file(5, 10),
        "model/__init__.py": of_file(0, 7),
        "app/window.py": of_file(0, 9),
    }
}


def test_the_files_of_a_room_count_by_their_statements() -> None:
    assert shares_percent(REPORT) == {"sky": 90.0, "station": 50.0}


def test_a_room_that_fell_is_named() -> None:
    assert faults({"sky": 89.99, "station": 50.0}, {"sky": 90, "station": 50}) == [
        "sky: 89.99 % reached, 90 % needed"
    ]


@pytest.mark.parametrize(("shares", "least"), [({"sky": 99.0}, {}), ({}, {"sky": 90})])
def test_rooms_must_be_stored_and_be_there(shares: dict[str, float], least: dict[str, int]) -> None:
    assert len(faults(shares, least)) == 1


def test_what_is_stored_rises_and_never_falls() -> None:
    shares = {"sky": 95.7, "station": 40.0, "field": 12.3}
    assert raised(shares, {"sky": 90, "station": 50}) == {"field": 12, "sky": 95, "station": 50}


def test_the_check_fails_until_what_fell_is_back(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    report, least = tmp_path / "report.json", tmp_path / "least.json"
    report.write_text(json.dumps(REPORT), encoding="utf-8")
    least.write_text('{"sky": 88, "station": 60}', encoding="utf-8")
    assert main([str(report), "--least", str(least), "--raise"]) == 1
    assert "station: 50.00 % reached, 60 % needed" in capsys.readouterr().out
    assert json.loads(least.read_text(encoding="utf-8")) == {"sky": 90, "station": 60}
    back = {"files": REPORT["files"] | {"model/station/fuses.py": of_file(90, 90)}}
    report.write_text(json.dumps(back), encoding="utf-8")
    assert main([str(report), "--least", str(least)]) == 0


def test_only_rooms_of_the_model_are_stored() -> None:
    stored = json.loads(LEAST.read_text(encoding="utf-8"))
    assert all((ROOMS / room / "__init__.py").is_file() for room in stored)
    assert all(isinstance(share, int) and 0 < share <= 100 for share in stored.values())
