"""The README's worked day comes out as it says."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from model.engine.comparison import simulate
from model.files.scenario_file import parse_scenario
from model.scenario.station import Amplifier

README = (Path(__file__).parents[2] / "README.md").read_text(encoding="utf-8")


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
    assert use["transmit"] == pytest.approx(float(rows["sending"]), abs=5e-4)
    assert run.sums.load_ah == pytest.approx(float(rows["all"]), abs=5e-4)
    assert run.end_fraction == pytest.approx(0.158, abs=5e-4)


def test_an_idle_amplifier_ends_the_worked_day_when_it_says() -> None:
    day = the_day()
    amplifier = Amplifier.model_validate(
        {"key_down": [[10.0, 5.0], [50.0, 10.0]], "operate_a": 0.45, "out_of_session": "operate"}
    )
    station = day.stations[0].model_copy(update={"amplifier": amplifier})
    (run,) = simulate(day.model_copy(update={"stations": (station,)})).runs
    assert run is not None
    assert run.clocks.receive.hours == pytest.approx(9.0 / 0.76, abs=1 / 60)
    hours, minutes = re.search(r"after (\d+) h (\d+) min", README).groups()
    assert int(hours) + int(minutes) / 60 == pytest.approx(9.0 / 0.76, abs=0.01)


def test_the_two_commands_are_there() -> None:
    assert "sh app/start" in README
    assert "sh tests/run" in README
