"""Which pages a document has: stations, comparison, packing sides and a cover."""

from __future__ import annotations

import os
from collections.abc import Sequence
from typing import BinaryIO

from app.page.document import ensure_application, pdf_bytes, save
from app.page.marks import Page
from app.page.paper import PAPERS, PaperName
from app.page.say import Say, Units, Variant
from app.page.station_page import station_page
from model.compare import Comparison, simulate
from model.kit import kit_of
from model.scenario import Scenario

Source = Scenario | Comparison


def write_pdf(
    sources: Source | Sequence[Source],
    target: str | os.PathLike[str] | BinaryIO,
    *,
    paper: PaperName = "a4",
    station: int | None = None,
    units: Units = "metric",
    second_side: bool = False,
    variant: Variant = "plain",
    cover: bool = False,
) -> None:
    """Write the kit pages of one or several scenarios to a PDF file or an open stream.

    ``station`` counts from 1 and takes that station's page alone. Raises PageError where the file
    cannot be written or there is no such station.
    """
    pages = pages_of(
        sources, paper=paper, station=station, units=units, second_side=second_side,
        variant=variant, cover=cover,
    )  # fmt: skip
    save(pdf_bytes(pages, _title(sources)), target)


def pages_of(
    sources: Source | Sequence[Source],
    *,
    paper: PaperName = "a4",
    station: int | None = None,
    units: Units = "metric",
    second_side: bool = False,
    variant: Variant = "plain",
    cover: bool = False,
) -> list[Page]:
    """Return the pages that write_pdf writes, for a preview or a printer."""
    ensure_application()
    comparisons = [
        each if isinstance(each, Comparison) else simulate(each) for each in _listed(sources)
    ]
    sheet = PAPERS[paper]
    pages = []
    for comparison in comparisons:
        say = Say(units, variant, comparison.scenario.day.days)
        for index in range(len(comparison.scenario.stations)):
            if station is not None and index != station - 1:
                continue
            kit = kit_of(comparison, index)
            footer = f"Counterpoise · {kit.name} · input {kit.fingerprint}"
            pages.append(station_page(kit, say, sheet, footer, second_side=second_side))
    return pages


def _listed(sources: Source | Sequence[Source]) -> Sequence[Source]:
    return [sources] if isinstance(sources, Scenario | Comparison) else sources


def _title(sources: Source | Sequence[Source]) -> str:
    return "Kit page"
