"""Settings that a page assumes: a run with these and nothing else gives its figures."""

from __future__ import annotations

from datetime import date
from pathlib import Path
from typing import Any

import numpy as np
import pytest
import tomli_w

from model.advice.advice import rerun
from model.export.assumptions import assumptions
from model.export.day_rows import day_rows
from model.files.scenario_file import parse_scenario, read_scenario
from model.results.solar_yield import harvest
from model.scenario.scenario import Scenario
from tests.unit.made_kits import made_kit
from tests.unit.scenario_maker import AMPLIFIER, NET, PANEL, SMALL_RADIO, WATCH, scenario

ROOT = Path(__file__).resolve().parents[2]
SHIPPED = [read_scenario(path) for path in sorted((ROOT / "scenarios").glob("*.toml"))]
MADE = [parse_scenario(tomli_w.dumps(made_kit(seed)).encode()) for seed in range(6)]
KITS = [
    (given, index) for given in (*SHIPPED, *MADE) for index in range(len(given.stations))
]  # fmt: skip


def typed_in(given: Scenario, index: int) -> Scenario:
    """Return a scenario of the settings alone, as one would type them from the page."""
    data: dict[str, Any] = {"format": 2}
    for group in assumptions(given, index):
        for setting in group.settings:
            _put(data, setting.path.split("."), setting.value)
    return parse_scenario(tomli_w.dumps(_lists(data)).encode())


def _put(data: dict[str, Any], path: list[str], value: Any) -> None:
    *way, last = path
    for name in way:
        data = data.setdefault(name, {})
    data[last] = list(value) if isinstance(value, tuple) else value


def _lists(value: Any) -> Any:
    """Turn tables whose keys are numbers into lists."""
    if not isinstance(value, dict):
        return value
    if value and all(key.isdigit() for key in value):
        return [_lists(value[key]) for key in sorted(value, key=int)]
    return {key: _lists(each) for key, each in value.items()}


@pytest.mark.parametrize(("given", "index"), KITS)
def test_the_settings_and_nothing_else_give_the_figures(given: Scenario, index: int) -> None:
    run, typed = rerun(given, index), rerun(typed_in(given, index), 0)
    np.testing.assert_allclose(typed.fraction, run.fraction, atol=2e-3)
    for name in ("full_power", "reduced_power", "receive"):
        one, other = getattr(run.clocks, name).hours, getattr(typed.clocks, name).hours
        # A sky is told to four decimals.
        assert (one is None) == (other is None)
        assert one is None or other == pytest.approx(one, abs=2 / 60)


def test_a_setting_left_out_would_be_noticed() -> None:
    given = scenario(station={"start_fraction": 0.6})
    bare = typed_in(given, 0)
    assert bare.stations[0].start_fraction == 0.6
    other = bare.stations[0].model_copy(update={"start_fraction": 1.0})
    spoiled = rerun(bare.model_copy(update={"stations": (other,)}), 0)
    assert np.abs(spoiled.fraction - rerun(given, 0).fraction).max() > 0.1


def clocks(rows: tuple) -> list[str]:
    return [f"{row.clock} {row.kind}" for row in rows]


def test_the_day_begins_with_the_run_and_says_what_goes_on_then() -> None:
    rows = day_rows(scenario(day={"start_hour": 8.0}), 0, ())
    assert clocks(rows) == ["08:00 listen", "20:00 net", "21:00 off", "06:00 listen"]


def test_a_net_says_all_its_settings_and_what_follows_undoes_them() -> None:
    given = scenario(station={"radio": SMALL_RADIO, "amplifier": AMPLIFIER})
    rows = {row.clock: "".join((row.what, " ", *row.settings)) for row in day_rows(given, 0, ())}
    net = rows["20:00"].replace("\N{NO-BREAK SPACE}", " ")
    for words in ("50 W", "3.6 MHz", "TX 20 %", "Radio 5 W at most", "tune",
                  "operate to transmit only"):  # fmt: skip
        assert words in net
    assert "Amplifier off" in rows["21:00"]
    assert "Amplifier off" in rows["06:00"]


def test_the_share_listened_is_told_in_minutes() -> None:
    night = {**WATCH, "start": "21:00", "end": "06:00", "listen_share": 5 / 60}
    rows = day_rows(scenario(plan=(WATCH, NET, night)), 0, ())
    assert any("Listen first 5 min of each hour" in row.what for row in rows)


def test_no_panel_is_turned_while_somebody_transmits() -> None:
    long_net = {**NET, "start": "09:00", "end": "17:00"}
    given = scenario(
        station={"panel": {**PANEL, "mount": "re-aimed", "re_aim_hours": 3.0}},
        plan=(long_net,), day={"date": date(2027, 6, 10)},
    )  # fmt: skip
    run = rerun(given, 0)
    found = harvest(run, run, run)
    assert found is not None
    turned = [row.at_min for row in day_rows(given, 0, found.aims) if row.kind == "panel"]
    told = [row for row in day_rows(given, 0, found.aims) if "true" in "".join(row.settings)]
    assert turned or told
    assert not any(9 * 60 <= minute < 17 * 60 for minute in turned)
