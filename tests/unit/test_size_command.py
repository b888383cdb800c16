"""``counterpoise size`` as a person types it."""

from __future__ import annotations

import json
import subprocess
import sys
from datetime import UTC, datetime
from math import ceil
from pathlib import Path

import pytest

from app.__main__ import main
from app.pages.size.size_words import (
    against_words,
    battery_words,
    panel_words,
    proof_words,
    sentence,
    sky_words,
    up_to_hold,
)
from app.pages.size.sold import parts_sold
from model.editing.paths import with_value
from model.files.scenario_file import read_scenario, write_scenario
from model.sizing.criterion import Shortfall
from model.sizing.smallest import STEP_SHARE, Choice, Size, size
from tests.laws.sample_kits import question
from tests.plain import plain

ROOT = Path(__file__).parents[2]
WATCH = [{"start": "00:00", "end": "24:00", "activity": "watch"}]


def ideal_kit(receive_a: float, **parts: object) -> dict[str, object]:
    """Nothing is lost anywhere, so that its sizes follow from Ah alone."""
    return {
        "name": f"ideal {receive_a}",
        "radio": {"receive_a": receive_a, "key_down": [[5.0, 1.0], [20.0, 2.0]]},
        "battery": {"chemistry": "LFP", "capacity_ah": 30.0, "mass_kg": 3.0},
        "reserve_fraction": 0.2,
    } | parts


@pytest.fixture
def two_watches(tmp_path: Path) -> Path:
    """Two radios on watch for a day: 0.5 A and 1 A, from a battery of 10 Ah a kilogram."""
    file = tmp_path / "watch.toml"
    write_scenario(
        question(ideal_kit(0.5), ideal_kit(1.0), plan=WATCH, low_c=25.0, high_c=25.0), file
    )
    return file


def test_json_names_the_smallest_battery_that_the_plans_ah_ask_for(
    two_watches: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert main(["size", str(two_watches), "--json", "-"]) == 0
    low, high = json.loads(capsys.readouterr().out)["stations"]
    # 24 h at 0.5 A, of which four fifths may be drawn; the tested share is 0.9 by default.
    tested = read_scenario(two_watches).stations[0].battery.tested_fraction
    asked_ah = 0.5 * 24 / 0.8 / tested
    assert low["smallest_battery_ah"] == pytest.approx(asked_ah, rel=2 * STEP_SHARE)
    assert high["smallest_battery_ah"] == pytest.approx(2 * asked_ah, rel=2 * STEP_SHARE)
    assert low["smallest_battery_kg"] == pytest.approx(low["smallest_battery_ah"] / 10)
    assert low["battery_proof"]["why"] in ("reserve", "clock")
    assert low["smallest_panel_w"] is None
    assert low["why_no_panel"] == "This station has no panel to resize."


def test_what_is_printed_holds_sizes_proof_and_caution(
    two_watches: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert main(["size", str(two_watches)]) == 0
    printed = " ".join(capsys.readouterr().out.split())
    assert "ideal 0.5 Smallest battery that meets the plan, with no panel:" in printed
    assert (
        "one step below the least (0.05 % less), the charge falls below the reserve at" in printed
    )
    assert "less than ideal 1.0 with its own such size" in printed
    assert "not a guarantee" in printed


def test_json_in_a_file_leaves_the_words_on_standard_output(
    two_watches: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    out = tmp_path / "sizes.json"
    assert main(["size", str(two_watches), "--json", str(out)]) == 0
    assert len(json.loads(out.read_text())["stations"]) == 2
    assert "Smallest battery" in capsys.readouterr().out


def test_a_station_that_cannot_be_run_says_why(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    plan = [
        {"start": "00:00", "end": "24:00", "activity": "slots", "rf_w": 5.0, "transmit_share": 0.6}
    ]
    file = tmp_path / "too-often.toml"
    write_scenario(question(ideal_kit(0.5), plan=plan), file)
    assert main(["size", str(file), "--json", "-"]) == 0
    station = json.loads(capsys.readouterr().out)["stations"][0]
    assert station["smallest_battery_ah"] is None
    assert station["why_no_battery"]


def test_no_panel_is_offered_against_frost() -> None:
    scenario = read_scenario(ROOT / "scenarios" / "midwinter-relay.toml")
    found = size(scenario)
    words = panel_words(scenario, 0, found[0].trip_panel, goes_on=False)
    assert found[0].panel.size_w is None
    assert words.startswith("No panel is enough: frost stops charging. With the best, the charge")
    assert "Smallest panel" not in words
    assert proof_words(found[0].panel) == ""


def test_masses_against_one_another_have_the_same_difference_both_ways() -> None:
    scenario = question(plan=WATCH)
    found = size(scenario, parts_sold())
    first = against_words(scenario, found, 0, "battery")
    second = against_words(scenario, found, 1, "battery")
    assert first.split(": ")[1].split(" less")[0] == second.split(": ")[1].split(" more")[0]


def test_a_battery_larger_than_the_one_carried_is_not_called_a_saving() -> None:
    scenario = with_value(question(ideal_kit(0.5)), "stations.0.battery.capacity_ah", 5.0)
    choice = Choice(size_ah_or_w=15.0, is_listed=True, part_kg=9.0, station_kg=9.0, skies=())
    larger = Size(size_ah=14.0, part_kg=8.4, station_kg=9.0, energy_wh=179.2, choice=choice)
    assert "6 kg more would have to be carried." in plain(battery_words(scenario, 0, larger))
    assert "13.23 lb more" in plain(battery_words(scenario, 0, larger, us=True))
    # 15 Ah of four cells of 3.2 V.
    assert "14 Ah would do; take 15 Ah (192 Wh), 9 kg." in plain(battery_words(scenario, 0, larger))


def fails(hour: int) -> Shortfall:
    at = datetime(2027, 6, 13, hour, tzinfo=UTC)
    return Shortfall(at, "reserve", f"the charge falls below the reserve at Sun {hour:02}:00")


@pytest.mark.parametrize(
    ("overcast", "rain", "said"),
    [
        (None, None, "With overcast or rain on every date it still meets the plan."),
        (None, fails(4), "With overcast on every date it still meets the plan; with rain on every"
         " date the charge falls below the reserve at Sun 04:00."),
        (fails(5), fails(4), "With overcast on every date the charge falls below the reserve at"
         " Sun 05:00; with rain on every date the charge falls below the reserve at Sun 04:00."),
    ],
)  # fmt: skip
def test_one_sentence_says_what_overcast_and_rain_do(
    overcast: Shortfall | None, rain: Shortfall | None, said: str
) -> None:
    choice = Choice(15.0, True, 1.5, 9.0, (("overcast", overcast), ("rain", rain)))
    assert sky_words(Size(size_ah=14.0, choice=choice)) == said


def test_the_file_has_the_sentences_of_the_command_line(
    capsys: pytest.CaptureFixture[str],
) -> None:
    file = str(ROOT / "scenarios" / "ridge-weekend.toml")
    assert main(["size", file]) == 0
    printed = " ".join(capsys.readouterr().out.split())
    assert main(["size", file, "--json", "-"]) == 0
    stations = json.loads(capsys.readouterr().out)["stations"]
    said = [
        words
        for station in stations
        for key in ("battery", "panel_for_the_trip", "panel")
        for words in station[f"{key}_words"]
    ]
    assert len(said) > 12
    assert all(" ".join(words.split()) in printed for words in said)
    for station in stations:
        for least, take in (
            (station["smallest_battery_ah"], station["battery_to_take_ah"]),
            (station["smallest_panel_w"], station["panel_to_take_w"]),
        ):
            assert (least is None) == (take is None)
            assert take is None or take >= 1.02 * least


@pytest.mark.parametrize("value", [12.9201, 12.9299, 12.93, 0.05])
def test_a_size_is_rounded_so_that_it_still_holds(value: float) -> None:
    shown = up_to_hold(value, 2)
    assert value - 1e-8 <= shown < value + 0.01
    assert shown == pytest.approx(ceil(value * 100 - 1e-6) / 100)


def test_a_clause_becomes_one_sentence() -> None:
    assert sentence("no battery holds") == "No battery holds."
    assert sentence("Already one.") == "Already one."


def test_size_imports_no_qt(two_watches: Path) -> None:
    program = (
        "import sys\n"
        "from app.__main__ import main\n"
        f"assert main(['size', {str(two_watches)!r}]) == 0\n"
        "assert not {'PySide6', 'pyqtgraph'} & set(sys.modules)\n"
    )
    done = subprocess.run(
        [sys.executable, "-c", program], cwd=ROOT, capture_output=True, text=True, check=False
    )
    assert done.returncode == 0, done.stderr
