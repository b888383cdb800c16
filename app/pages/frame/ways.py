"""The ways to what a person looks for."""

from __future__ import annotations

from dataclasses import dataclass

from app.charts.horizon import HorizonSketch
from app.editors.place.panel import PlacePanel
from app.editors.plan_strip.strip import PlanStrip
from app.editors.sheet.view import SheetView
from app.pages.frame.foot import Foot
from app.pages.lenses import Lenses
from app.pages.results.panel import VerdictPanel
from app.widgets.anchored import AnchoredSheet
from app.widgets.sides import Sides


@dataclass(frozen=True, eq=False)
class Ways:
    """Each opens what hides its end, and gives that the keyboard."""

    place_sheet: AnchoredSheet
    place: PlacePanel
    horizon: HorizonSketch
    lenses: Lenses
    plan: PlanStrip
    sides: Sides
    foot: Foot
    sheet: SheetView
    verdict: VerdictPanel

    def jump_to(self, path: str) -> None:
        """Show the editor of a field, and give it the keyboard."""
        if path.startswith("stations."):
            self.sides.open_drawer()
            self.sheet.reveal(path)
        elif path.startswith("plan"):
            self._jump_to_block(path.split("."))
        elif path.startswith("site.horizon"):
            self.place_sheet.open_sheet()
            self.horizon.setFocus()
        elif path.startswith("variants"):
            self._look_at_variants()
        else:
            self.place_sheet.open_sheet()
            (self.place.editor(path) or self.place).setFocus()

    def _look_at_variants(self) -> None:
        from app.pages.size.page import SizingPage

        page = self.lenses.open("sizing").view
        assert isinstance(page, SizingPage)
        page.sizing.look_at_variants()

    def _jump_to_block(self, segments: list[str]) -> None:
        self.go_plan()
        if len(segments) > 1:
            self.plan.choose(int(segments[1]))
        if len(segments) > 2:
            self.plan.edit(segments[2])

    def go_place(self) -> None:
        """Open the sheet of place and day."""
        self.place_sheet.open_sheet()
        self.place.setFocus()

    def open_skies(self) -> None:
        """Open the sky of each date."""
        self.place_sheet.open_sheet()
        self.place.sky_days.open()

    def go_plan(self) -> None:
        """Give the plan under the curves the keyboard."""
        self.lenses.look_at("day")
        self.lenses.day.show_plan()

    def go_stations(self) -> None:
        """Give the builders the keyboard."""
        self.sides.open_drawer()
        self.sheet.setFocus()

    def go_day(self) -> None:
        """Look at the day."""
        self.lenses.look_at("day")

    def go_table(self) -> None:
        """Give the results the keyboard."""
        self.sides.open_drawer()
        self.verdict.results.setFocus()

    def go_findings(self) -> None:
        """Show the findings, and give them the keyboard."""
        self.foot.open_findings()
