"""``counterpoise page``: the kit page of each station as a PDF."""

from __future__ import annotations

import argparse
import io
import os

from app.cli.inputs import read, tell_faults
from app.cli.outputs import tell, write_bytes
from model.editing.faults import ScenarioError
from model.reception.reports import Reports
from model.scenario.scenario import Scenario


def page(options: argparse.Namespace) -> int:
    """Write the pages; several files give one PDF with a cover table."""
    try:
        scenarios = [read(file) for file in options.files]
    except ScenarioError as error:
        return tell_faults(error)
    if options.station is not None:
        for file, scenario in zip(options.files, scenarios, strict=True):
            if not 1 <= options.station <= len(scenario.stations):
                tell(
                    f"--station: {file} has stations 1 to {len(scenario.stations)},"
                    f" got {options.station}"
                )
                return 2
    if options.reports is not None and (
        len(scenarios) > 1 or options.station is not None or len(scenarios[0].stations) == 1
    ):
        tell("--reports: stands on the comparison of the stations of one scenario")
        return 2
    try:
        reports = _reports(options.reports, scenarios[0])
    except ScenarioError as error:
        return tell_faults(error)
    # A page is drawn in memory: no screen is needed, and none may be opened.
    os.environ.setdefault("QT_QPA_PLATFORM", "offscreen")
    from app.printing import PageError, pages_of, write_pages
    from app.printing.say import Variant

    drawn = io.BytesIO()
    variants: tuple[Variant, ...] = ("class", "answers") if options.blanks else ("plain",)
    try:
        pages = [
            sheet
            for variant in variants
            for sheet in pages_of(
                scenarios,
                paper=options.paper,
                station=options.station,
                units=options.units,
                variant=variant,
                cover=len(scenarios) > 1,
                log=options.log,
                reports=reports,
            )
        ]
        write_pages(pages, drawn, scenarios[0].title or "Kit page")
    except PageError as error:
        tell(str(error))
        return 1
    write_bytes(drawn.getvalue(), options.pdf)
    return 0


def _reports(file: str | None, scenario: Scenario) -> Reports | None:
    if file is None:
        return None
    from model.reception.table_reading import read_reports

    return read_reports(file, scenario.site.timezone)
