"""``--set PATH=VALUE``: what a person may type, paths of format 1 among it, and what is refused."""

from __future__ import annotations

import json
from datetime import date
from pathlib import Path

import pytest

from app.__main__ import main
from model.editing.faults import ScenarioError
from model.files.migrate import migrated_changes
from model.files.scenario_file import write_scenario
from model.files.typed_changes import typed_value, with_typed
from model.sizing.smallest import smallest_battery
from model.sky.climate_light import monthly_clearness
from model.sky.cloud_words import cover_class
from tests.laws.sample_kits import question
from tests.laws.test_batch_season import seasonal

CAPACITY = "stations.0.battery.capacity_ah"


def refused(*typed: str) -> list[str]:
    with pytest.raises(ScenarioError) as caught:
        with_typed(seasonal(), typed)
    return [str(fault) for fault in caught.value.faults]


@pytest.mark.parametrize(
    ("text", "value"),
    [
        ("24", 24), ("0.5", 0.5), ("true", True), ("overcast", "overcast"),
        ("mostly clear", "mostly clear"), ('"rain"', "rain"), ("[1, 2]", [1, 2]),
        ("2027-05-01", date(2027, 5, 1)), ("", None), ("1\nother = 2", "1\nother = 2"),
        ("1" * 5000, "1" * 5000), ("[" * 5000, "[" * 5000),
    ],
)  # fmt: skip
def test_a_value_is_read_as_in_a_file_or_is_a_word(text, value):
    assert typed_value(text) == value


def test_values_are_changed_at_once():
    scenario, remarks = with_typed(
        seasonal(), [f"{CAPACITY}=24", "day.sky = overcast", "stations.1.panel="]
    )
    assert scenario.stations[0].battery.capacity_ah == 24
    assert scenario.day.sky == ("overcast",)
    assert scenario.stations[1].panel is None
    assert remarks == ()


def test_eighths_of_cloud_become_the_index_of_their_class():
    scenario, remarks = with_typed(seasonal(), ["day.cloud_okta=4"])
    # Three to five eighths: a mixed day, whose index stands in the table of words.
    assert cover_class(4).index == pytest.approx(0.84)
    assert scenario.day.sky == (pytest.approx(0.84),)
    assert remarks == ("--set day.cloud_okta: of format 1, read as day.sky=0.84",)


def test_a_month_s_cloud_becomes_the_clearness_of_this_place():
    before = seasonal()
    typed = ["season.cloud_okta.3=8", "season.low_c.0=-3"]
    scenario, remarks = with_typed(before, typed)
    index = tuple([cover_class(8).index] * 12)
    expected = monthly_clearness(before.site, index)[3]
    assert scenario.climate.clearness[3] == pytest.approx(expected, abs=0.0006)
    assert scenario.climate.clearness[2] == before.climate.clearness[2]
    assert scenario.climate.low_c[0] == -3
    assert remarks == (
        "--set season.cloud_okta.3: of format 1, read as climate.clearness.3="
        f"{scenario.climate.clearness[3]:g}",
        "--set season.low_c.0: of format 1, read as climate.low_c.0=-3",
    )


def test_typed_changes_are_those_of_a_stored_file():
    before = seasonal()
    scenario, _ = with_typed(before, ["day.cloud_okta=[1, 6]"])
    assert scenario.day.sky == tuple(
        migrated_changes({"day.cloud_okta": [1, 6]}, before.site)["day.sky"]
    )


@pytest.mark.parametrize(
    ("typed", "said"),
    [
        (("24",), '--set text "24": must read PATH=VALUE'),
        (("=24",), '--set text "=24": must read PATH=VALUE'),
        ((f"{CAPACITY}=0",), f"--set {CAPACITY}: "),
        ((f"{CAPACITY}=big",), f"--set {CAPACITY}: "),
        (("stations.7.name=x",), "--set stations.7: this scenario has nothing there"),
        (("nowhere=1",), "--set nowhere: this scenario has nothing there"),
        ((f"{CAPACITY}=1", f"{CAPACITY}=2"), f"--set {CAPACITY}: is given twice"),
        (("day.cloud_okta=9",), "--set day.cloud_okta: must be from 0 to 8, got 9"),
        (("day.cloud_okta=4", "day.sky=rain"), "--set day.sky: is given twice, as day.sky as well"),
        (("season.low_c.0=-300",), "--set season.low_c.0: "),
    ],
)
def test_what_is_refused_has_a_line(typed, said):
    (line,) = refused(*typed)
    assert line.startswith(said)


def test_every_fault_is_told():
    told = refused("first", "day.cloud_okta=9", f"{CAPACITY}=1", f"{CAPACITY}=2")
    assert len(told) == 3


@pytest.fixture
def file(tmp_path: Path) -> str:
    path = tmp_path / "trip.toml"
    write_scenario(question(days=1), str(path))
    return str(path)


def test_run_size_and_odds_take_changes(file, tmp_path, capsys):
    out = str(tmp_path / "out.json")
    changed, _ = with_typed(question(days=1), ["stations.0.radio.receive_a=0.9"])
    more = ["--set", "stations.0.radio.receive_a=0.9", "--json", out]
    assert main(["run", file, *more]) == 0
    first = json.loads(Path(out).read_text())["stations"][0]
    assert main(["run", file, "--json", out]) == 0
    assert first["load_ah"] > json.loads(Path(out).read_text())["stations"][0]["load_ah"]
    assert main(["size", file, *more]) == 0
    told = json.loads(Path(out).read_text())["stations"][0]["smallest_battery_ah"]
    assert told == smallest_battery(changed, 0).size_ah
    assert main(["odds", file, "--trips", "5", *more]) == 0
    assert json.loads(Path(out).read_text())["trips"] == 5
    capsys.readouterr()


def test_an_old_path_is_said_and_a_fault_ends_the_command(file, capsys):
    assert main(["run", file, "--set", "day.cloud_okta=8"]) == 0
    assert "of format 1, read as day.sky=0.4" in capsys.readouterr().err
    assert main(["run", file, "--set", "day.cloud_okta=9", "--set", "x"]) == 2
    told = capsys.readouterr()
    assert told.out == ""
    assert len(told.err.strip().splitlines()) == 2
