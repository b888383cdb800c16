"""The README's worked day comes out as it says."""

from __future__ import annotations

import doctest
import re
import shlex
import shutil
from itertools import pairwise
from pathlib import Path

import pytest

from app.__main__ import main
from app.cli import processes
from app.cli.parser import parser
from model.engine.comparison import simulate
from model.export.outcome_data import CSV_COLUMNS
from model.files.scenario_file import parse_scenario, read_scenario
from model.scenario.station import Amplifier

RIDGE = Path(__file__).parents[2] / "scenarios" / "ridge-weekend.toml"
README = (Path(__file__).parents[2] / "README.md").read_text(encoding="utf-8")


class PlainSpaces(doctest.OutputChecker):
    """Takes the space that holds a unit to its number for the one that is typed."""

    def check_output(self, want: str, got: str, optionflags: int) -> bool:
        return super().check_output(want, got.replace("\N{NO-BREAK SPACE}", " "), optionflags)


def the_day():
    (block,) = re.findall(r"```toml\n(.*?)```", README, re.DOTALL)
    return parse_scenario(block.encode())


def test_the_worked_day_is_what_the_model_computes() -> None:
    (run,) = simulate(the_day()).runs
    assert run is not None
    rows = dict(re.findall(r"^\| ([a-z ]+?) \|.*\| ([\d.]+) \|$", README, re.MULTILINE))
    use = run.sums.by_use_ah
    assert use["receive"] == pytest.approx(
        float(rows["listening on watch"]) + float(rows["listening in the net"]), abs=5e-4
    )
    assert use["transmit"] == pytest.approx(float(rows["transmitting"]), abs=5e-4)
    assert run.sums.load_ah == pytest.approx(float(rows["total"]), abs=5e-4)
    assert run.end_fraction == pytest.approx(0.555, abs=5e-4)


def test_an_idle_amplifier_ends_the_worked_day_when_it_says() -> None:
    day = the_day()
    amplifier = Amplifier.model_validate(
        {"key_down": [[10.0, 5.0], [50.0, 10.0]], "operate_a": 0.45, "out_of_session": "operate"}
    )
    station = day.stations[0].model_copy(update={"amplifier": amplifier})
    (run,) = simulate(day.model_copy(update={"stations": (station,)})).runs
    assert run is not None
    assert run.clocks.receive.hours == pytest.approx(9.0 / 0.61, abs=1 / 60)
    hours, minutes = re.search(r"last (\d+) h (\d+) min", README).groups()
    assert int(hours) + int(minutes) / 60 == pytest.approx(9.0 / 0.61, abs=0.01)


def test_the_first_look_is_what_the_shipped_ridge_gives() -> None:
    small, one_box = simulate(read_scenario(RIDGE)).runs
    assert small is not None
    assert one_box is not None
    assert small.clocks.receive.until is None
    assert one_box.clocks.receive.until is not None
    assert f"runs out at {one_box.clocks.receive.until:%H:%M}" in README


def test_the_lines_for_a_notebook_give_what_stands_under_them(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    monkeypatch.chdir(RIDGE.parents[1])
    blocks = re.findall(r"```pycon\n(.*?)```", README, re.DOTALL)
    page = doctest.DocTestParser().get_doctest("\n".join(blocks), {}, "README", "README.md", 0)
    assert len(page.examples) > 10
    told: list[str] = []
    failed, _ = doctest.DocTestRunner(PlainSpaces(), optionflags=doctest.ELLIPSIS).run(
        page, out=told.append
    )
    assert not failed, "".join(told)


def test_the_reports_command_gives_what_stands_under_it(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.chdir(RIDGE.parents[1])
    command, pattern, told = re.search(
        r"^\$ counterpoise (.*?) \\\n *\| grep \"(.*?)\"\n(.*?)```",
        README,
        re.MULTILINE | re.DOTALL,
    ).groups()
    assert main(command.split()) == 0
    rows = capsys.readouterr().out.splitlines()
    assert [row for row in rows if re.search(pattern, row)] == told.splitlines()


def examples() -> list[str]:
    blocks = re.findall(r"```sh\n(.*?)```", README, re.DOTALL)
    return "".join(blocks).splitlines()


def test_every_command_is_typed_in_an_example() -> None:
    typed = {line.split()[1] for line in examples()}
    assert {"run", "size", "odds", "page", "lesson"} <= typed
    synopsis = set(re.findall(r"^counterpoise (\w+)", README, re.MULTILINE))
    assert synopsis == set(parser().commands)


def matching(word: str) -> list[str]:
    """Return the files that a shell puts in the place of a word."""
    return sorted(map(str, Path().glob(word))) if "*" in word else []


@pytest.mark.parametrize("line", examples())
def test_an_example_can_be_typed_as_it_stands(
    line: str,
    tmp_path: Path,
    monkeypatch: pytest.MonkeyPatch,
    capsys: pytest.CaptureFixture[str],
) -> None:
    shutil.copytree(RIDGE.parent, tmp_path / "scenarios")
    monkeypatch.chdir(tmp_path)
    monkeypatch.setattr(processes, "processors", lambda: 1)
    name, *words = shlex.split(line)
    assert name == "counterpoise"
    # Fewer trips are asked for in the same words.
    words = ["5" if before == "--trips" else word for before, word in pairwise(["", *words])]
    found = [each for word in words for each in (matching(word) or [word])]
    assert main(found) == 0
    outputs = re.findall(r"--(?:json|csv|summary|pdf) (\S+)", line)
    assert all((tmp_path / out).stat().st_size for out in outputs)
    assert ("--summary" in line) != bool(capsys.readouterr().out) or "--pdf" in line


def test_every_column_of_the_minutes_is_described() -> None:
    rows = re.findall(r"^\| (`.+?`) \|", README, re.MULTILINE)
    assert ", ".join(rows).replace("`", "").split(", ") == list(CSV_COLUMNS)


def test_the_two_commands_are_there() -> None:
    assert "sh app/start" in README
    assert "sh tests/run" in README
