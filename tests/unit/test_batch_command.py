"""Many files and many values in one call: rows, lines, processes, exit codes."""

from __future__ import annotations

import csv
import io
import json
import sys
from pathlib import Path

import pytest

from app.__main__ import main
from app.cli import processes
from app.cli.columns import ODDS, RUN, SIZE
from model.editing.paths import with_value
from model.engine.comparison import simulate
from model.export.fingerprint import fingerprint
from model.files.scenario_file import read_scenario, write_scenario
from tests.laws.sample_kits import question

CAPACITY = "stations.1.battery.capacity_ah"


@pytest.fixture
def files(tmp_path: Path) -> list[str]:
    """Two sound trips of a day, the second with a larger battery."""
    names = [str(tmp_path / name) for name in ("one.toml", "two.toml")]
    write_scenario(question(days=1), names[0])
    write_scenario(with_value(question(days=1), CAPACITY, 90.0), names[1])
    return names


@pytest.fixture
def alone(monkeypatch: pytest.MonkeyPatch) -> None:
    """One processor: everything runs in this process."""
    monkeypatch.setattr(processes, "processors", lambda: 1)


def rows_of(text: str) -> list[dict[str, str]]:
    return list(csv.DictReader(io.StringIO(text)))


def test_processes_give_what_one_run_gives_and_the_worst_file_gives_the_code(
    files: list[str], tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capfd: pytest.CaptureFixture
) -> None:
    monkeypatch.setattr(processes, "processors", lambda: 2)
    broken = tmp_path / "broken.toml"
    broken.write_text(Path(files[0]).read_text().replace("capacity_ah = ", "capacity_ah = -"))
    out = tmp_path / "out.csv"
    assert main(["run", files[0], str(broken), files[1], "--summary", str(out)]) == 2
    told = capfd.readouterr()
    assert told.out == ""
    lines = told.err.splitlines()
    assert lines
    assert all(line.startswith(f"{broken}: stations.") for line in lines)
    rows = rows_of(out.read_text())
    assert [row["file"] for row in rows] == [files[0]] * 2 + [files[1]] * 2
    for file in files:
        scenario = read_scenario(file)
        found = simulate(scenario)
        for run, row in zip(found.runs, (r for r in rows if r["file"] == file), strict=True):
            assert run is not None
            until = run.clocks.receive.until
            assert row["station"] == run.station.name
            assert float(row["lowest_fraction.value"]) == pytest.approx(run.lowest.value, rel=1e-5)
            assert row["clocks.receive.until"] == (until.isoformat() if until else "")
            assert row["input_mark"] == fingerprint(scenario)


@pytest.mark.usefixtures("alone")
def test_sweeps_run_with_every_combination(
    files: list[str], capsys: pytest.CaptureFixture[str]
) -> None:
    sweeps = ["--sweep", f"{CAPACITY}=20:40:3", "--sweep", "stations.1.radio.receive_a=0.2:0.4:2"]
    assert main(["run", files[0], *sweeps, "--summary", "-"]) == 0
    rows = rows_of(capsys.readouterr().out)
    swept = [(row[CAPACITY], row["stations.1.radio.receive_a"]) for row in rows]
    assert swept[::2] == [(ah, a) for ah in ("20", "30", "40") for a in ("0.2", "0.4")]
    by_hand = simulate(
        with_value(
            with_value(read_scenario(files[0]), CAPACITY, 30), "stations.1.radio.receive_a", 0.4
        )
    ).runs[1]
    assert by_hand is not None
    assert float(rows[7]["load_ah"]) == pytest.approx(by_hand.sums.load_ah, rel=1e-5)


@pytest.mark.usefixtures("alone")
def test_json_of_several_is_a_document_on_each_line(
    files: list[str], capsys: pytest.CaptureFixture[str]
) -> None:
    sweep = ["--sweep", "day.days=1:2:2", "--set", f"{CAPACITY}=12"]
    assert main(["run", *files, *sweep, "--brief", "--json", "-"]) == 0
    found = [json.loads(line) for line in capsys.readouterr().out.splitlines()]
    assert [(each["file"], each["days"]) for each in found] == [
        (file, days) for file in files for days in (1, 2)
    ]
    assert found[1]["changes"] == {CAPACITY: 12, "day.days": 2}
    # Without advice nobody can tell whether there is any.
    assert all(each["cures"] is None and each["flips"] is None for each in found)


@pytest.mark.usefixtures("alone")
def test_texts_of_several_stand_under_their_names(
    files: list[str], capsys: pytest.CaptureFixture[str]
) -> None:
    assert main(["run", *files, "--brief"]) == 0
    together = capsys.readouterr().out
    texts = []
    for file in files:
        assert main(["run", file, "--brief"]) == 0
        texts.append(f"{file}\n{'-' * len(file)}\n{capsys.readouterr().out}")
    assert together == "\n".join(texts)


@pytest.mark.usefixtures("alone")
def test_size_and_odds_give_a_row_for_each_station(
    files: list[str], capsys: pytest.CaptureFixture[str]
) -> None:
    sweep = ["--sweep", f"{CAPACITY}=20:40:2"]
    for words, columns in ((["size"], SIZE), (["odds", "--trips", "5"], ODDS), (["run"], RUN)):
        assert main([*words, files[0], *sweep, "--summary", "-"]) == 0
        rows = rows_of(capsys.readouterr().out)
        assert tuple(rows[0]) == ("file", CAPACITY, "station", *columns, "input_mark")
        assert [row[CAPACITY] for row in rows] == ["20", "20", "40", "40"]
        assert len({row["input_mark"] for row in rows}) == 2


@pytest.mark.usefixtures("alone")
def test_lessons_are_checked_together(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    sound = str(Path(__file__).parents[2] / "scenarios" / "lessons" / "tonight.toml")
    broken = tmp_path / "broken.toml"
    broken.write_text("title = 3\n")
    assert main(["lesson", "check", sound, str(broken)]) == 2
    told = capsys.readouterr()
    assert told.out.startswith(f"{sound}: ")
    assert all(line.startswith(f"{broken}: ") for line in told.err.splitlines())
    assert main(["lesson", "check", sound, str(broken), "--summary", "-"]) == 2
    good, bad = rows_of(capsys.readouterr().out)
    assert (good["faults"], bad["title"]) == ("0", "")
    assert int(bad["faults"]) > 0


@pytest.mark.usefixtures("alone")
def test_standard_input_is_read_once_for_a_whole_sweep(
    files: list[str], capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    held = io.TextIOWrapper(io.BytesIO(Path(files[0]).read_bytes()))
    monkeypatch.setattr(sys, "stdin", held)
    assert main(["run", "-", "--sweep", f"{CAPACITY}=20:40:3", "--summary", "-"]) == 0
    assert len(rows_of(capsys.readouterr().out)) == 6


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (["{0}", "{1}", "--csv", "-"], "--csv: holds the minutes of one run; 2 are asked for"),
        (["-", "-"], "standard input can be read once"),
        (["{0}", "--json", "-", "--summary", "-"], "--json and --summary cannot both go to"),
        (["{0}", "{1}", "--summary", "{1}"], "--summary: {1} is read here and must not be"),
        (["{0}", "--sweep", "x.y=1:2:2", "--sweep", "x.y=1:2:2"], "--sweep x.y: is given twice"),
        (["{0}", "--sweep", "a=1:2:999", "--sweep", "b=1:2:99"], "98901 runs are asked for; at"),
        (["{0}", "--sweep", "x.y=1:2:9"], "{0}: --sweep x: this scenario has nothing there"),
        (["{0}", "--set", f"{CAPACITY}=1", "--sweep", f"{CAPACITY}=1:2:3"],
         f"{{0}}: --sweep {CAPACITY}: is given twice"),
        (["{0}", "--sweep", f"{CAPACITY}=-1:1:2"], f"{{0}}: --sweep {CAPACITY}: must be greater"),
    ],
)  # fmt: skip
@pytest.mark.usefixtures("alone")
def test_what_cannot_be_asked_gets_one_line_and_exit_code_2(
    files: list[str], capsys: pytest.CaptureFixture[str], words: list[str], said: str
) -> None:
    before = [Path(file).read_bytes() for file in files]
    assert main(["run", "--brief", *(word.format(*files) for word in words)]) == 2
    (line,) = capsys.readouterr().err.splitlines()
    assert line.startswith(said.format(*files))
    assert [Path(file).read_bytes() for file in files] == before


@pytest.mark.parametrize(
    "text", ["a", "a=1:2", "a=1:2:x", "=1:2:3", "a=1:inf:3", "a=1:2:1", "a=1:2:1001", "a=1:2:²"]
)
def test_a_sweep_that_cannot_be_read_gets_one_line(
    text: str, capsys: pytest.CaptureFixture[str]
) -> None:
    with pytest.raises(SystemExit) as stopped:
        main(["run", "x.toml", "--sweep", text])
    assert stopped.value.code == 2
    (line,) = capsys.readouterr().err.splitlines()
    assert "--sweep" in line


class Terminal(io.StringIO):
    def isatty(self) -> bool:
        return True


def test_progress_is_told_to_a_terminal_alone_and_leaves_nothing(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    for stream in (Terminal(), io.StringIO()):
        monkeypatch.setattr(sys, "stderr", stream)
        with processes.progress(3) as told:
            told(1)
        if stream.isatty():
            assert "1 of 3" in stream.getvalue()
            assert stream.getvalue().endswith("\r\x1b[K")
        else:
            assert stream.getvalue() == ""
