"""Runs the program with a kind of part nobody has heard of, and prints what came of it.

A process of its own. What is done here before anything else is loaded is what an engineer writes
in three files: a class with its field in ``Station``, a row among the kinds, and its physics.
"""

from __future__ import annotations

import json
import os
import sys
from typing import Any

import numpy as np

from model.scenario import declare, part, station
from model.scenario.cautions import Caution

os.environ.setdefault("QT_QPA_PLATFORM", "offscreen")


class Fan(part.Part):
    """Cools the operator."""

    current_a: declare.Number = declare.quantity(
        "Fan current", "A", ge=0, le=5, decimals=2, spread=0.2, help="Drawn while it turns."
    )
    hours: part.Hours = "always"


class Generator(part.Part):
    """Turned by hand or by an engine, until its tank is empty."""

    current_a: declare.Number = declare.quantity("Generator current", "A", gt=0, le=50)
    tank_h: declare.Number = declare.quantity("Tank lasts", "h", gt=0, le=500)
    hours: part.Hours = "always"


class HandGenerator(part.Part):
    """A small engine started by hand: it idles on its fuel, and burns more for what is taken."""

    current_a: declare.Number = declare.quantity("Output", "A", gt=0, le=50)
    fuel_l: declare.Number = declare.quantity("Fuel in the tank", "l", gt=0, le=50)
    idle_l_per_h: declare.Number = declare.quantity("Fuel while idling", "l/h", ge=0, le=5)
    fuel_l_per_ah: declare.Number = declare.quantity("Fuel for what it gives", "l/Ah", ge=0, le=1)
    hours: part.Hours = "always"


class Station(station.Station):
    """A station that may carry a fan and generators."""

    fan: Fan | None = None
    generator: Generator | None = None
    hand_generator: HandGenerator | None = None


station.Station = Station  # type: ignore[misc]

from model.scenario import kinds

kinds.KINDS = (
    *kinds.KINDS,
    kinds.PartKind(
        "fan", Fan, "Fan", "Comfort", "load", "fans.toml", {"current_a": 0.2},
        uses=(kinds.PartUse("fan", "the fan", ("current_a",), 75),),
        cautions=(Caution("Keep fingers out of the fan.", "Fingers out of the fan."),),
    ),
    kinds.PartKind(
        "generator", Generator, "Generator", "Power", "source", "generators.toml",
        {"current_a": 4.0, "tank_h": 3.0},
    ),
    kinds.PartKind(
        "hand_generator", HandGenerator, "Hand generator", "Power", "source",
        "hand_generators.toml",
        {"current_a": 4.0, "fuel_l": 0.5, "idle_l_per_h": 0.1, "fuel_l_per_ah": 0.02},
    ),
)  # fmt: skip
kinds.KIND_OF_SLOT, kinds.USES = kinds.by_slot(kinds.KINDS), kinds.uses_of(kinds.KINDS)

from model.station import part_loads


def _fan(fan: Fan, hour: part_loads.Hour) -> part_loads.Drawn:
    return part_loads.Drawn(fan.current_a * hour.on_share(fan.hours))


def _generator(generator: Generator, hour: part_loads.Hour) -> part_loads.Floats:
    # What has been burnt does not ask the battery: the tank is known before the run.
    run_h = np.atleast_1d(hour.on_share(generator.hours)) * hour.step_h
    left_h = generator.tank_h - np.cumsum(run_h) + run_h
    return generator.current_a * np.clip(left_h, 0.0, run_h) / hour.step_h


def _hand_generator(made: HandGenerator, hour: part_loads.Hour) -> part_loads.Floats | float:
    return made.current_a * hour.on_share(made.hours)


def _fuel(made: HandGenerator) -> part_loads.Store:
    return part_loads.Store(made.idle_l_per_h / made.fuel_l, made.fuel_l_per_ah / made.fuel_l)


part_loads.LOADS["fan"] = _fan
part_loads.SOURCES["generator"] = _generator
part_loads.SOURCES["hand_generator"] = _hand_generator
part_loads.STORES["hand_generator"] = _fuel


def kit(current_a: float = 0.25) -> Any:
    """Return a station with a fan that turns from six to ten in the evening."""
    from tests.unit.scenario_maker import scenario

    return scenario(
        station={
            "fan": {
                "name": "desk fan",
                "current_a": current_a,
                "mass_kg": 0.3,
                "hours": (("18:00", "22:00"),),
            }
        }
    )


def of_the_generator() -> dict[str, Any]:
    """Return what a generator gives whose tank is empty before its hours are over."""
    from model.engine.comparison import simulate
    from model.station.fuses import lead_currents_a
    from tests.unit.scenario_maker import scenario

    made = scenario(
        station={
            "start_fraction": 0.3,
            "panel": None,
            "controller": None,
            "generator": {
                "current_a": 3.0,
                "tank_h": 2.5,
                "hours": (("01:00", "03:00"), ("05:00", "09:00")),
            },
        }
    )
    run = simulate(made).runs[0]
    assert run is not None
    given_a = run.flow.charger_a
    return {
        "given_ah": float(given_a.sum() / 60),
        "gives_at": [bool(given_a[minute] > 0) for minute in (30, 90, 200, 315, 345)],
        "generator_residual": run.sums.ledger_residual,
        "charging_a": lead_currents_a(made.stations[0], 0.0)["battery"],
    }


def of_the_hand_generator() -> dict[str, Any]:
    """Return what an engine burns that is asked for little by a full battery, and for all by one.

    The same kits are run one by one and as a fleet.
    """
    from model.engine.batch import run_batch
    from model.engine.comparison import simulate
    from model.engine.fleet import fleet_of
    from tests.planned import station_inputs
    from tests.unit.scenario_maker import scenario

    engine = {
        "current_a": 3.0, "fuel_l": 0.3, "idle_l_per_h": 0.03, "fuel_l_per_ah": 0.02,
        "hours": (("01:00", "09:00"),),
    }  # fmt: skip
    made = [
        scenario(station={"start_fraction": start, "hand_generator": engine})
        for start in (1.0, 0.2)
    ]
    runs = [simulate(each).runs[0] for each in made]
    members = [station_inputs(each.site, each.day, each.plan, each.stations[0]) for each in made]
    ends = run_batch(fleet_of(members)).end_fraction
    found: list[dict[str, Any]] = []
    for run, end in zip(runs, ends.tolist(), strict=True):
        assert run is not None
        fuel_l = 0.3 * np.append(np.array(run.trace.store_fraction), run.end.store_fraction)
        runs_h = np.count_nonzero(np.diff(fuel_l)) / 60
        given_ah = float(run.flow.charger_a.sum() / 60)
        found.append({
            "left_l": float(fuel_l[-1]),
            "least_drop_l": float(-np.diff(fuel_l).max()),
            "runs_h": runs_h,
            "given_ah": given_ah,
            "burnt_l": 0.03 * runs_h + 0.02 * given_ah,
            "residual": run.sums.ledger_residual,
            "fleet_off": end - run.end_fraction,
        })  # fmt: skip
    return {"engines": found}


def of_the_file_and_the_run(made: Any) -> dict[str, Any]:
    """Return what files, run, odds, library and page make of it."""
    from model.advice.actions import habits
    from model.advice.minimum_watch import leanest
    from model.editing.edit_stations import with_part
    from model.editing.field_facts import describe
    from model.engine.comparison import simulate
    from model.field.bench_sheet import bench_sheet
    from model.files.json_schema import scenario_schema
    from model.files.scenario_file import dump_scenario, parse_scenario
    from model.library.new_station import new_part
    from model.library.parts_csv import dump_csv, read_csv
    from model.library.store import FILE_NAMES, dump_parts, parse_parts
    from model.odds.sampling import uncertain
    from model.results.provenance import bases
    from model.station.carried_mass import carried_total, items
    from model.station.fuses import lead_currents_a
    from model.verdict.table import verdict

    comparison = simulate(made)
    run, without = comparison.runs[0], simulate(kit(0.0)).runs[0]
    assert run is not None
    assert without is not None
    fan = made.stations[0].fan
    return {
        "read": parse_scenario(dump_scenario(made).encode()) == made,
        "schema": scenario_schema()["$defs"]["Fan"]["properties"]["current_a"]["title"],
        "described": describe("stations.0.fan.current_a"),
        "fan_ah": run.sums.by_use_ah["fan"],
        "load_ah": run.sums.load_ah - without.sums.load_ah,
        "residual": run.sums.ledger_residual,
        "mass_kg": carried_total(made.stations[0]).mass_kg,
        "carried": [item.group for item in items(made.stations[0])],
        "basis": [[row.use, row.paths, row.ah] for row in bases(run) if row.use == "fan"],
        "drawn_in_odds": [each.path for each in uncertain(made.stations[0])],
        "bench": [item.path for step in bench_sheet(made.stations[0]) for item in step.items],
        "rows": [row.label for row in verdict(comparison).rows],
        "advice": [each.key for each in habits(made, 0)],
        "lean": leanest(made, 0).stations[0].fan,
        "through_battery_a": lead_currents_a(made.stations[0], 100.0)["battery"]
        - lead_currents_a(kit(0.0).stations[0], 100.0)["battery"],
        "new": new_part("fan").current_a,
        "put_in": with_part(kit().stations[0], new_part("fan")).fan.name,
        "library_file": FILE_NAMES["fan"],
        "toml": parse_parts(dump_parts((fan,)).encode()).parts == (fan,),
        "csv": read_csv(dump_csv((fan,)).encode()).parts == (fan,),
        "page": page_of(comparison),
    }


def page_of(comparison: Any) -> str:
    """Return the text of the station's page."""
    from tests.page.page_reading import pdf_of, sheets

    return " ".join(sheet.flat for sheet in sheets(pdf_of(comparison)))


def of_the_form(made: Any) -> dict[str, Any]:
    """Return what the sheet shows of it."""
    from PySide6.QtWidgets import QApplication

    application = QApplication.instance() or QApplication([])
    from app.editors.sheet.model import SheetModel
    from app.state.display import Display
    from app.state.document import Document
    from app.state.edit_context import Desk
    from app.state.settings import Settings

    sheet = SheetModel(Desk(Document(made), Display(Settings())))
    sheet.refresh()
    sheet.set_opened({"fan", "fan more"})
    rows = sheet.rows
    said = {
        "line": rows[sheet.place_of("fan")].label,
        "labels": [row.label for row in rows if row.key.startswith("fan.")],
        "cautions": sheet.words_of(sheet.place_of("fan caution"))[1],
    }
    sheet.deleteLater()
    application.processEvents()
    return said


if __name__ == "__main__":
    # The form first: the page makes do with an application that has no windows.
    found = of_the_form(kit()) | of_the_file_and_the_run(kit()) | of_the_generator()
    found |= of_the_hand_generator()
    sys.stdout.write(json.dumps(found))
