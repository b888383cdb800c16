"""The command line as a person types it."""

from __future__ import annotations

import csv
import io
import json
import re
from importlib.metadata import version
from pathlib import Path

import pytest

from app.__main__ import main, parsed
from app.cli.completion import every_command
from app.cli.display import why_no_window
from app.cli.parser import parser
from model.engine.comparison import simulate
from model.export.outcome_data import CSV_COLUMNS
from model.files.scenario_file import read_scenario
from model.verdict.headline import headline

RIDGE = Path(__file__).parents[2] / "scenarios" / "ridge-weekend.toml"


def test_run_prints_table_verdict_and_caution(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["run", str(RIDGE)]) == 0
    printed = capsys.readouterr().out
    for words in (
        "Receive until",
        "ends first",
        " most: ",
        "change the order",
        "clear sky",
        "not a guarantee",
    ):
        assert words in " ".join(printed.split())


def test_json_holds_every_outcome(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["run", str(RIDGE), "--json", "-"]) == 0
    data = json.loads(capsys.readouterr().out)
    station = data["stations"][1]
    keys = {
        "name",
        "mass_kg",
        "boxes",
        "cables",
        "cost",
        "rf_w",
        "lowest_fraction",
        "end_fraction",
        "reserve_crossed",
        "clocks",
        "hours_on_battery",
        "load_ah",
        "load_wh",
        "by_use_ah",
        "panel_wh",
        "losses_wh",
        "transmit_volts",
        "guess_share",
        "ledger_residual",
        "findings",
    }
    assert keys <= set(station)
    for clock in ("full_power", "reduced_power", "receive"):
        assert set(station["clocks"][clock]) == {
            "until",
            "cause",
            "because",
            "drain",
            "back_at",
            "hours",
            "next_transmit",
        }
    assert station["clocks"]["receive"]["until"].endswith("+02:00")
    assert sum(station["by_use_ah"].values()) == pytest.approx(station["load_ah"])
    assert station["ledger_residual"] < 1e-9
    assert data["flips"]
    assert data["differences"][0]["mass_kg"] == pytest.approx(
        station["mass_kg"] - data["stations"][0]["mass_kg"]
    )


def test_csv_holds_every_minute_of_every_station(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["run", str(RIDGE), "--csv", "-"]) == 0
    rows = list(csv.DictReader(io.StringIO(capsys.readouterr().out)))
    assert tuple(rows[0]) == CSV_COLUMNS
    assert len(rows) == 2 * 2 * 1440
    # Positive is into the battery: by night it is negative.
    assert float(rows[16 * 60]["battery_a"]) < 0


def test_faults_give_one_line_each_and_exit_code_two(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    text = RIDGE.read_text().replace("capacity_ah = 15.0", "capacity_ah = -20")
    file = tmp_path / "bad.toml"
    file.write_text(text.replace("receive_a = 1.2", "recieve_a = 1.2"))
    assert main(["run", str(file)]) == 2
    lines = capsys.readouterr().err.splitlines()
    assert "stations.0.battery.capacity_ah: must be greater than 0, got -20" in lines
    assert "stations.1.battery.capacity_ah: must be greater than 0, got -20" in lines
    assert any("recieve_a" in line and "receive_a" in line for line in lines)
    assert all(line.startswith("stations.") for line in lines)


def test_a_file_that_is_not_there_is_said_plainly(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["run", "no-such-file.toml"]) == 2
    assert "no-such-file.toml" in capsys.readouterr().err


def test_a_result_that_cannot_be_written_is_said_plainly(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert main(["run", str(RIDGE), "--json", str(tmp_path / "no" / "out.json")]) == 1
    assert "cannot be written" in capsys.readouterr().err


@pytest.mark.parametrize("command", [names for names, _ in every_command(parser())], ids=" ".join)
def test_help_shows_examples_that_can_be_typed(
    command: tuple[str, ...],
    capsys: pytest.CaptureFixture[str],
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    monkeypatch.chdir(RIDGE.parents[1])
    with pytest.raises(SystemExit) as stopped:
        main([*command, "--help"])
    assert stopped.value.code == 0
    _, _, after = capsys.readouterr().out.partition("\nExample")
    examples = re.findall(r"^  counterpoise (.+)$", after, re.MULTILINE)
    assert examples
    for example in examples:
        words = example.replace("*", "ridge-weekend").split()
        assert tuple(words[: len(command)]) == command
        assert parsed(words)


def test_the_table_begins_with_the_headline(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["run", str(RIDGE)]) == 0
    lead, cause = capsys.readouterr().out.splitlines()[:2]
    told = headline(simulate(read_scenario(RIDGE)))
    assert (lead, cause) == (told.text, told.cause)


def test_the_version_is_that_of_the_package(capsys: pytest.CaptureFixture[str]) -> None:
    with pytest.raises(SystemExit) as stopped:
        main(["--version"])
    assert stopped.value.code == 0
    assert capsys.readouterr().out == f"counterpoise {version('counterpoise')}\n"


@pytest.mark.parametrize(
    ("word", "said"),
    [
        ("rnu", "rnu: is neither a command nor a file; near it: run"),
        ("weathr", "weathr: is neither a command nor a file; near it: weather"),
        ("xyz", "xyz: is neither a command nor a file; commands: run, page, size, odds,"),
        ("none.toml", "none.toml: there is no such file"),
        ("a/b", "a/b: there is no such file"),
        ("nul\0", "nul\0: is neither a command nor a file; "),
    ],
)
def test_a_first_word_that_is_nothing_names_what_is_near(
    word: str, said: str, capsys: pytest.CaptureFixture[str]
) -> None:
    assert main([word]) == 2
    (line,) = capsys.readouterr().err.splitlines()
    assert line.startswith(said)


@pytest.mark.parametrize(
    "words", [["run"], ["odds", "x", "--trips", "0"], ["run", "x", "--sweep", "a"], ["--none"]]
)
def test_a_command_line_that_cannot_be_read_gets_one_line(
    words: list[str], capsys: pytest.CaptureFixture[str]
) -> None:
    with pytest.raises(SystemExit) as stopped:
        main(words)
    assert stopped.value.code == 2
    assert len(capsys.readouterr().err.splitlines()) == 1


def test_whoever_stops_it_gets_one_line(
    capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    def stop(*_given: object) -> None:
        raise KeyboardInterrupt

    monkeypatch.setattr("app.__main__.cases_of", stop)
    assert main(["run", str(RIDGE)]) == 130
    assert capsys.readouterr().err == "stopped\n"


def test_a_window_without_a_display_is_refused_in_one_line(
    capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("sys.platform", "linux")
    for name in ("QT_QPA_PLATFORM", "WAYLAND_DISPLAY", "DISPLAY"):
        monkeypatch.delenv(name, raising=False)
    assert main([]) == 1
    told = "no window can open: there is no display; without one: counterpoise run FILE\n"
    assert capsys.readouterr().err == told
    # No server listens on so high a number.
    assert "the display :4077 does not answer" in why_no_window({"DISPLAY": ":4077"})
    assert "no display wayland-77;" in why_no_window({"WAYLAND_DISPLAY": "wayland-77"})
    assert why_no_window({"QT_QPA_PLATFORM": "offscreen"}) == ""
