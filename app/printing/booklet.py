"""Which pages a document has: both sides of each kit, logs, the comparison and a cover."""

from __future__ import annotations

import os
from collections.abc import Sequence
from typing import BinaryIO

from app.printing.comparison_page import comparison_pages
from app.printing.cover import cover_pages
from app.printing.document import PageError, ensure_application, pdf_bytes, save
from app.printing.field_log import field_log
from app.printing.foot import Footer
from app.printing.kit_sheet import kit_sides
from app.printing.marks import Page
from app.printing.paper import PAPERS, PaperName
from app.printing.reports_part import reports_sections
from app.printing.say import Say, Units, Variant
from model.engine.comparison import Comparison, simulate
from model.export.kit_page import Kit, kit_of
from model.reception.reports import Reports
from model.reception.station_answers import StationAnswers, station_answers
from model.scenario.scenario import Scenario
from model.support.progress import Search, finish
from model.support.version import VERSION

Source = Scenario | Comparison


def write_pdf(
    sources: Source | Sequence[Source],
    target: str | os.PathLike[str] | BinaryIO,
    *,
    paper: PaperName = "a4",
    station: int | None = None,
    units: Units = "metric",
    variant: Variant = "plain",
    cover: bool = False,
    log: bool = False,
) -> None:
    """Write the kit pages of one or several scenarios to a PDF file or an open stream.

    ``station`` counts from 1 and takes that station's page alone. Raises PageError where the file
    cannot be written or there is no such station.
    """
    pages = pages_of(
        sources, paper=paper, station=station, units=units, variant=variant, cover=cover, log=log
    )
    write_pages(pages, target, title_of(sources))


def write_pages(
    pages: Sequence[Page], target: str | os.PathLike[str] | BinaryIO, title: str
) -> None:
    """Write pages to a PDF file or an open stream; raises PageError where that fails."""
    save(pdf_bytes(pages, title), target)


def pages_of(
    sources: Source | Sequence[Source],
    *,
    paper: PaperName = "a4",
    station: int | None = None,
    units: Units = "metric",
    variant: Variant = "plain",
    cover: bool = False,
    log: bool = False,
    reports: Reports | None = None,
) -> list[Page]:
    """Return the pages that write_pdf writes, for a preview or a printer.

    ``reports`` stand on the comparison of scenarios whose clock they were read by.
    """
    return finish(
        search_pages(
            sources, paper=paper, station=station, units=units, variant=variant, cover=cover,
            log=log, reports=reports,
        )
    )  # fmt: skip


def search_pages(
    sources: Source | Sequence[Source],
    *,
    paper: PaperName = "a4",
    station: int | None = None,
    units: Units = "metric",
    variant: Variant = "plain",
    cover: bool = False,
    log: bool = False,
    reports: Reports | None = None,
) -> Search[list[Page]]:
    """Lay the pages of ``pages_of`` out, a kit at a time."""
    ensure_application()
    comparisons = [
        each if isinstance(each, Comparison) else simulate(each) for each in _listed(sources)
    ]
    sheet = PAPERS[paper]
    pages: list[Page] = []
    every: list[Kit] = []
    for comparison in comparisons:
        say = Say(units, variant, comparison.scenario.day.days)
        kits = [kit_of(comparison, index) for index in _chosen(comparison, station)]
        every += kits
        for kit in kits:
            yield len(pages) / (len(pages) + 1)
            footer = _footer(kit.name, kit.fingerprint)
            pages += kit_sides(kit, say, sheet, footer)
            pages += field_log(kit, say, sheet, footer) if log else []
        if station is None and len(kits) > 1:
            yield len(pages) / (len(pages) + 1)
            footer = _footer("comparison", kits[0].fingerprint)
            told = reports_sections(_answers(comparison, reports), say)
            pages += comparison_pages(comparison, kits, say, sheet, footer, told)
    if cover:
        yield len(pages) / (len(pages) + 1)
        days = max(comparison.scenario.day.days for comparison in comparisons)
        pages[:0] = cover_pages(every, Say(units, variant, days), sheet)
    return pages


def _answers(comparison: Comparison, reports: Reports | None) -> list[StationAnswers]:
    scenario = comparison.scenario
    if reports is None or reports.timezone != scenario.site.timezone:
        return []
    return [station_answers(reports, comparison, at) for at in range(len(scenario.stations))]


def _footer(name: str, mark: str) -> Footer:
    return Footer(f"Counterpoise {VERSION} · {' '.join(name.split())} · input {mark}", mark)


def _chosen(comparison: Comparison, station: int | None) -> Sequence[int]:
    count = len(comparison.scenario.stations)
    if station is None:
        return range(count)
    if not 1 <= station <= count:
        there = "one station" if count == 1 else f"{count} stations"
        raise PageError(f"there is no station {station}: the scenario has {there}")
    return [station - 1]


def _listed(sources: Source | Sequence[Source]) -> Sequence[Source]:
    return [sources] if isinstance(sources, Scenario | Comparison) else sources


def title_of(sources: Source | Sequence[Source]) -> str:
    """Return what a document of these is called."""
    listed = _listed(sources)
    if len(listed) > 1:
        return f"Kit pages of {len(listed)} scenarios"
    only = listed[0].scenario if isinstance(listed[0], Comparison) else listed[0]
    return f"Kit page: {' '.join(only.title.split()) or 'plan not named'}"
