"""What the window begins with: the starter library, and a scenario."""

from __future__ import annotations

from datetime import date

from app.resources import resource
from app.work.disk import disk
from model.editing.faults import ScenarioError
from model.files.scenario_file import read_scenario
from model.library.catalogue import Library
from model.library.store import load, new_station
from model.scenario.scenario import Block, Day, Scenario, Site

FIRST_SCENARIO = "scenarios/ridge-weekend.toml"
NEW_DAY = date(2027, 6, 12)


def starter_library() -> Library:
    """Return the parts that ship with the program."""
    return disk.get(lambda: load(resource("assets/parts")))


def first_scenario(library: Library) -> Scenario:
    """Return the scenario a first start opens; a new one should it be damaged."""
    try:
        return disk.get(lambda: read_scenario(resource(FIRST_SCENARIO)))
    except (OSError, ScenarioError):
        return new_scenario(library)


def new_scenario(library: Library) -> Scenario:
    """Return two stations of the library, a day in June and a plan with two nets."""
    radios, batteries = library.of("radio"), library.of("battery")
    stations = tuple(
        new_station(name, radio.name, batteries[0].name, library)
        for name, radio in (("Station 1", radios[0]), ("Station 2", radios[-1]))
    )
    net = {"activity": "voice", "rf_w": 10.0, "transmit_share": 0.15}
    plan = (
        Block(start="06:00", end="06:30", note="morning net", **net),
        Block(start="06:30", end="20:00", activity="watch"),
        Block(start="20:00", end="21:00", note="evening net", **net),
        Block(start="21:00", end="06:00", activity="watch"),
    )
    return Scenario(
        title="New scenario",
        site=Site(name="A hill", latitude_deg=47.0, longitude_deg=8.0, timezone="Europe/Zurich"),
        day=Day(date=NEW_DAY, start_hour=6.0, days=2, low_c=(8.0,), high_c=(20.0,)),
        plan=plan,
        stations=stations,
    )
