"""The README's worked day comes out as it says."""

from __future__ import annotations

import doctest
import re
from pathlib import Path

import pytest

from app.__main__ import main
from model.engine.comparison import simulate
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


def test_the_two_commands_are_there() -> None:
    assert "sh app/start" in README
    assert "sh tests/run" in README
