"""What a notebook gets from ``import model``; each room offers what it says and no more."""

from __future__ import annotations

import subprocess
import sys
import tomllib
from importlib import import_module
from pathlib import Path

import numpy as np
import pytest

import app.counterpoise as by_name
import model as cp
from model.verdict.headline import headline

ROOT = Path(__file__).resolve().parents[2]
RIDGE = ROOT / "scenarios" / "ridge-weekend.toml"
ROOMS = sorted(path.parent.name for path in (ROOT / "model").glob("*/__init__.py"))
MOST_NAMES = 12


def test_the_lines_of_the_front_door_work() -> None:
    weekend = cp.read(RIDGE)
    found = cp.simulate(weekend)
    bigger = cp.with_value(weekend, "stations.0.battery.capacity_ah", 30.0)
    lasts = cp.simulate(bigger).table()
    lead, cause, _, first, *_ = repr(found).splitlines()
    told = headline(found)
    assert (lead, cause, first) == (told.text, told.cause, cp.verdict(found).sentences[0])
    assert len(repr(found)) < 1500
    assert list(found.table().columns) == [station.name for station in weekend.stations]
    assert not lasts.equals(found.table())
    assert "<table" in found._repr_html_()
    assert len(found.minutes()) == weekend.day.days * 24 * 60 * len(weekend.stations)
    assert cp.advise(found).sentences


def test_what_ifs_are_the_runs_they_stand_for() -> None:
    weekend = cp.read(RIDGE)
    sizes = np.linspace(5.0, 40.0, 8)
    shares = np.linspace(0.2, 1.0, 8)
    asked = {"stations.1.battery.capacity_ah": sizes, "plan.5.listen_share": shares}
    rows = cp.what_if(weekend, asked, step_min=1.0)
    rows = rows[rows.station == 1]
    assert len(rows) == sizes.size
    for number in (0, 3, 7):
        changed = cp.with_values(
            weekend, {path: float(values[number]) for path, values in asked.items()}
        )
        run = cp.simulate(changed).runs[1]
        row = rows.iloc[number]
        assert row.end_fraction == pytest.approx(run.end_fraction, rel=1e-12)
        assert row.lowest_fraction == pytest.approx(run.lowest.value, rel=1e-12)
        hours = run.clocks.receive.hours
        assert row.receive_h == (np.inf if hours is None else pytest.approx(hours))


def test_lists_of_other_lengths_and_wrong_values_are_refused_in_a_line() -> None:
    weekend = cp.read(RIDGE)
    with pytest.raises(cp.ScenarioError, match=r"holds 1 values, and .* holds 2"):
        cp.what_if(weekend, {"day.wind_m_s": [1.0, 2.0], "day.start_hour": [1.0]})
    with pytest.raises(cp.ScenarioError, match=r"greater than 0, got -20"):
        cp.what_if(weekend, {"stations.0.battery.capacity_ah": [-20.0]})


def test_a_withheld_station_has_no_outcome() -> None:
    weekend = cp.read(RIDGE)
    rows = cp.what_if(weekend, {"stations.0.radio.supply_max_v": [15.9, 9.0]})
    assert rows[(rows.row == 1) & (rows.station == 0)].receive_h.isna().all()
    assert rows[rows.row == 0].receive_h.notna().all()


@pytest.mark.parametrize("room", ["", *(f".{name}" for name in ROOMS)])
def test_every_name_on_offer_is_there(room: str) -> None:
    package = import_module(f"model{room}")
    assert package.__doc__
    assert package.__doc__.splitlines()[0].endswith(".")
    names = getattr(package, "__all__", [])
    assert all(getattr(package, name) is not None for name in names)
    assert set(names) <= set(dir(package)) | {"odds", "verdict"}
    with pytest.raises(AttributeError, match="offers no 'nothing_such'"):
        _ = package.nothing_such
    if room:
        assert 0 < len(names) <= MOST_NAMES
        modules = {path.stem for path in (ROOT / "model" / room[1:]).glob("*.py")}
        assert not modules & set(names), "a module hides the name once it is loaded"


def test_the_wheel_offers_the_same_by_the_name_of_the_program() -> None:
    assert by_name.simulate is cp.simulate
    assert by_name.verdict is cp.verdict
    assert dir(by_name) == dir(cp)
    build = tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))["tool"]["hatch"]
    assert build["build"]["targets"]["wheel"]["force-include"]["app/counterpoise.py"] == (
        "counterpoise.py"
    )


def test_one_name_of_the_sky_loads_no_solar_library() -> None:
    code = (
        "import sys, model, model.sky, model.engine; from model.sky import Timeline;"
        " assert not [m for m in sys.modules if m.split('.')[0] in ('pvlib', 'PySide6')]"
    )
    subprocess.run([sys.executable, "-c", code], cwd=ROOT, check=True)
