"""Runs the program with a chemistry nobody has heard of, and prints what each part made of it.

A process of its own: the one entry is there before anything reads the table.
"""

from __future__ import annotations

import json
import os
import sys
from dataclasses import replace
from typing import Any

from model.scenario import chemistries
from model.scenario.cautions import Caution

os.environ.setdefault("QT_QPA_PLATFORM", "offscreen")
chemistries.CHEMISTRIES["brine"] = replace(
    chemistries.CHEMISTRIES["AGM"],
    family="salt water",
    label="salt-water brine",
    help="Carbon and brine: heavy, and harmless.",
    cells=7,
    nominal_cell_v=1.7,
    rest_v=((0.0, 1.3), (1.0, 1.9)),
    usable=((-40.0, 0.1), (0.0, 0.5), (25.0, 1.0)),
    absorption_v=2.0,
    acceptance_h=0.0,
    rate_exponent=1.0,
    lowest_charge_c=5.0,
    reserve_fraction=0.35,
    harmed_below_cell_v=1.2,
    usual_charge_efficiency=0.7,
    cautions=(
        Caution("Brine splashes: keep it upright.", "Brine freezes; no charging below {coldest}."),
    ),
)


def kit() -> Any:
    """Return a station on such a battery, out in the frost."""
    from tests.unit.scenario_maker import BATTERY, scenario

    entered = BATTERY | {"chemistry": "brine", "name": "tub", "cutoff_v": 8.0, "reconnect_v": 11.0}
    return scenario(
        station={"battery": entered, "reserve_fraction": 0.0},
        day={"low_c": (-5.0,), "high_c": (2.0,)},
    )


def of_the_file_and_the_run(made: Any) -> dict[str, Any]:
    """Return what files, run, findings and library make of it."""
    from model.editing.edit_stations import with_part
    from model.engine.comparison import simulate
    from model.files.json_schema import scenario_schema
    from model.files.scenario_file import dump_scenario, parse_scenario
    from model.findings.rules import find
    from model.library.catalogue import Library
    from model.library.new_station import new_part
    from model.library.parts_csv import dump_csv, read_csv
    from model.library.store import dump_parts, parse_parts
    from model.scenario.station import Battery

    read = parse_scenario(dump_scenario(made).encode())
    comparison = simulate(made)
    run = comparison.runs[0]
    assert run is not None
    tub = made.stations[0].battery
    lithium = made.stations[0].model_copy(
        update={"battery": new_part("battery"), "reserve_fraction": 0.2}
    )
    return {
        "read": read == made,
        "schema": scenario_schema()["$defs"]["Battery"]["properties"]["chemistry"]["enum"],
        "cells_help": Battery.model_fields["cells"].description,
        "rest_v": float(run.flow.rest_v[0]),
        "usable_ah_frozen": float(run.usable_ah.min()),
        "may_charge": bool(run.inputs.climate.may_charge.any()),
        "reserve": with_part(lithium, tub).reserve_fraction,
        "toml": parse_parts(dump_parts((tub,)).encode()).parts == (tub,),
        "csv": read_csv(dump_csv((tub,)).encode()).parts == (tub,),
        "found": [part.name for part in Library((tub,)).search("brine")],
        "findings": [f"{each.sentence} {each.remedy}" for each in find(made)],
        "page": page_of(comparison),
    }


def page_of(comparison: Any) -> str:
    """Return the text of the station's page."""
    from tests.page.page_reading import pdf_of, sheets

    return " ".join(sheet.flat for sheet in sheets(pdf_of(comparison)))


def of_the_form(made: Any) -> dict[str, Any]:
    """Return what the sheet offers, and the cautions beside it."""
    from PySide6.QtWidgets import QApplication, QWidget

    application = QApplication.instance() or QApplication([])
    from app.editors.fields.words import word_of
    from app.editors.sheet.menus import SheetMenu
    from app.editors.sheet.model import SheetModel
    from app.state.display import Display
    from app.state.document import Document
    from app.state.edit_context import Desk
    from app.state.settings import Settings

    sheet = SheetModel(Desk(Document(made), Display(Settings())))
    sheet.refresh()
    sheet.set_opened({"battery", "battery caution"})
    holder = QWidget()
    menu = SheetMenu(holder)
    menu.offer_choices("battery.chemistry", "LFP", holder.pos())
    action = next(each for each in menu.actions() if each.text() == word_of("brine"))
    said = {
        "choice": action.text(),
        "tip": action.toolTip(),
        "cautions": sheet.words_of(sheet.place_of("battery caution"))[1],
    }
    menu.close()
    holder.deleteLater()
    sheet.deleteLater()
    application.processEvents()
    return said


if __name__ == "__main__":
    # The form first: the page makes do with an application that has no windows.
    sys.stdout.write(json.dumps(of_the_form(kit()) | of_the_file_and_the_run(kit())))
