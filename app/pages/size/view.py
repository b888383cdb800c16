"""What could stay at home: everything that is worked out about sizes, a sheet a question."""

from __future__ import annotations

from PySide6.QtCore import Signal
from PySide6.QtWidgets import QVBoxLayout, QWidget

from app.pages.size.even_part import EvenPart
from app.pages.size.kit_map_part import KitMapPart
from app.pages.size.levers_part import LeversPart
from app.pages.size.sizes_part import SizesPart
from app.pages.size.terms_part import TermsPart
from app.pages.size.variants_part import VariantsPart
from app.pages.size.year_part import YearPart
from app.state.display import Display
from app.widgets.one_at_a_time import OneAtATime
from model.editing.faults import ScenarioError
from model.editing.variants import as_variant, without_variants
from model.engine.comparison import Comparison
from model.scenario.scenario import Scenario

# What each sheet answers, in their order.
QUESTIONS = (
    "Smallest kit: which battery and panel are enough?",
    "Battery and panel: which pairs meet the plan?",
    "Break-even: which station needs less, and where?",
    "Sensitivity: which inputs matter most?",
    "Variants: how do they compare?",
    "Equal terms: same power, mass or time?",
    "The year: which dates meet the plan?",
)
Part = SizesPart | KitMapPart | EvenPart | LeversPart | VariantsPart | TermsPart | YearPart


class SizingView(QWidget):
    """Hands each scenario to its sheets; only the sheet in sight is worked out.

    ``edit_requested`` carries what the undo step is called and the scenario it leads to;
    ``asked`` the sheet gone to.
    """

    edit_requested = Signal(str, object)

    def __init__(self, display: Display, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._scenario: Scenario | None = None
        self.sizes = SizesPart(display)
        self.kit_map = KitMapPart(display)
        self.even = EvenPart(display)
        self.levers = LeversPart(display)
        self.variants = VariantsPart(display)
        self.terms = TermsPart(display)
        self.year = YearPart()
        self.sheets = OneAtATime()
        for part in self.parts:
            self.sheets.add(part)
            is_whole = part is self.variants
            part.edit_requested.connect(self.edit_requested if is_whole else self._on_edit)
        self.levers.variant_wanted.connect(self._on_variant_wanted)
        whole = QVBoxLayout(self)
        whole.setContentsMargins(0, 0, 0, 0)
        whole.addWidget(self.sheets)

    @property
    def parts(self) -> tuple[Part, ...]:
        """All sheets, in their order."""
        return (
            self.sizes, self.kit_map, self.even, self.levers, self.variants, self.terms, self.year,
        )  # fmt: skip

    @property
    def is_settled(self) -> bool:
        """Whether the sheet in sight is of the scenario as it is."""
        return self.parts[self.sheets.index].is_settled

    def show_comparison(self, comparison: Comparison) -> None:
        """Take over another scenario; only the sheet of variants has anything to do with them."""
        self._scenario = comparison.scenario
        bare = without_variants(comparison.scenario)
        for part in self.parts:
            part.show_scenario(comparison.scenario if part is self.variants else bare)

    def look_at_variants(self) -> None:
        """Go to the sheet of variants."""
        self.sheets.show_at(self.parts.index(self.variants))

    def show_kept(self, kept: Scenario) -> None:
        """Take over what the file holds."""
        self.variants.show_kept(kept)

    def _on_edit(self, text: str, changed: Scenario) -> None:
        """Pass on what a sheet without variants asks for, with the variants as they are."""
        if self._scenario is not None:
            kept = {"variants": self._scenario.variants}
            self.edit_requested.emit(text, changed.model_copy(update=kept))

    def _on_variant_wanted(self, name: str, changed: Scenario) -> None:
        """Keep a changed scenario as a variant, under a name that is still free."""
        if self._scenario is None:
            return
        taken = {variant.name for variant in self._scenario.variants}
        free = next(
            each for number in range(1, len(taken) + 2)
            if (each := name if number == 1 else f"{name} ({number})") not in taken
        )  # fmt: skip
        try:
            held = as_variant(self._scenario, changed, free)
        except ScenarioError as error:
            self.levers.say_refused(error.faults[0].message)
            return
        self.levers.say_kept(free)
        self.edit_requested.emit(f"keeping of {free}", held)

    def stop(self) -> None:
        """Cancel all work and wait for it: to be called before the window goes."""
        for part in self.parts:
            part.stop()
