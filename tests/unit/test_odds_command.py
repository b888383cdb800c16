"""``counterpoise odds``: rows, JSON, and what is refused."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from app.__main__ import main
from model.files.scenario_file import write_scenario
from model.odds.odds import odds
from model.odds.sentences import season_words
from model.support.figures import in_10, span_in_10
from tests.laws.sample_kits import question


@pytest.fixture
def file(tmp_path: Path) -> str:
    path = tmp_path / "trip.toml"
    write_scenario(question(days=1), str(path))
    return str(path)


def test_json_holds_the_odds_of_every_station(file, tmp_path, capsys):
    out = tmp_path / "odds.json"
    assert main(["odds", file, "--trips", "60", "--json", str(out)]) == 0
    found = json.loads(out.read_text())
    assert (found["trips"], found["basis"], found["half_months"]) == (60, "forecast", [])
    expected = odds(question(days=1), 60)
    for told, station in zip(found["stations"], expected.stations, strict=True):
        of = told["odds"]
        assert (of["holds"], of["holds_low"], of["holds_high"]) == (
            station.holds.value, station.holds.low, station.holds.high,
        )  # fmt: skip
        assert of["receive"] == station.receive.value
        assert of["full_power"] == station.full_power.value
        assert of["loss_of_load"] == station.loss_of_load_share
        assert of["holds_low"] <= of["holds"] <= of["holds_high"]
    assert found["outlasts"][0][1] == expected.outlasts(0, 1).first_share
    said = " ".join(capsys.readouterr().out.split())
    assert "If the forecast holds: " in said
    assert "This counts trips, not hours." in said


@pytest.mark.parametrize("trips", ["0", "-3", "1.5", "many", "100001"])
def test_trips_that_are_no_number_of_trips_are_refused(file, trips, capsys):
    with pytest.raises(SystemExit) as ended:
        main(["odds", file, "--trips", trips])
    assert ended.value.code == 2
    assert "must be a whole number from 1 to 100000" in capsys.readouterr().err


@pytest.mark.parametrize("share", [0.0, 0.001, 0.04, 0.05, 0.3, 0.949, 0.95, 0.96, 1.0])
def test_neither_none_nor_all_of_ten_is_said(share):
    for text in (in_10(share), span_in_10(share, share)):
        assert text not in ("0", "10")
        assert "about 0 " not in text
        assert "about 10 " not in text


@pytest.mark.parametrize(
    ("bounds", "text"),
    [
        ((0.21, 0.69), "2 to 7"),
        ((0.7, 0.9), "7 to 9"),
        ((0.86, 0.999), "8 to more than 9"),
        ((0.0, 0.13), "fewer than 1 to 2"),
        ((0.5, 0.5), "5"),
        ((0.0, 0.07), "at most 1"),
        ((0.93, 1.0), "at least 9"),
    ],
)
def test_bounds_are_rounded_outwards(bounds, text):
    assert span_in_10(*bounds) == text


def test_a_stretch_of_the_season_has_a_name():
    day = question().day
    for date, days, words in (
        ("2027-04-17", 2, "any mid-April weekend"),
        ("2027-04-14", 2, "any mid-April trip of 2 days"),
        ("2027-10-01", 1, "any early October day"),
        ("2027-02-27", 3, "any late February trip of 3 days"),
    ):
        assert season_words(type(day.date).fromisoformat(date), days) == words
