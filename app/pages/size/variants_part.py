"""Named variants of the scenario side by side: kept, taken over, renamed and deleted here."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from typing import Any, cast

from PySide6.QtGui import QGuiApplication
from PySide6.QtWidgets import QLabel, QLineEdit, QPushButton, QWidget

from app.pages.size.export import ExportRow
from app.pages.size.size_words import sentence
from app.pages.size.variant_words import change_lines, shown_rows, versions_table
from app.state.display import Display
from app.widgets.flow import FlowLayout
from app.widgets.labels import sentence_label
from app.widgets.plain_table import PlainTable
from app.widgets.worked_part import WorkedPart
from model.editing.differences import changes_in_words
from model.editing.faults import ScenarioError
from model.editing.variant_moves import following
from model.editing.variants import (
    as_variant,
    renamed,
    variant_of,
    without_variant,
    without_variants,
)
from model.files.csv_table import csv_text
from model.scenario.scenario import Scenario, Variant
from model.sizing.variants_compared import Version, search_versions
from model.support.progress import Search

MEANS = (
    "The scenario and its named variants, each run through the same days. The file holds a variant"
    " as what it changes; the scenario itself stays as it is."
)
HOW_TO_KEEP = (
    "To keep a variant, change something at the left and come back here, or vary an input under"
    " Sensitivity."
)
WOULD_GO_BACK = "Kept as a variant it leaves the scenario, which is again as the file holds it."
TAKEN = "There is a variant of this name: give another."
TOLD_CHANGES = 4


def _versions(scenario: Scenario) -> Search[tuple[Scenario, tuple[Version, ...]]]:
    return scenario, (yield from search_versions(scenario))


class VariantsPart(WorkedPart):
    """A table of all versions, what the one chosen changes, and what can be done with it."""

    LOOKING = "Running every variant …"

    def __init__(self, display: Display, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._display = display
        self._found: tuple[Scenario, tuple[Version, ...]] | None = None
        self._kept: Scenario | None = None
        self._named = ""
        self.table = PlainTable("variants side by side", words=(0, 1, 2), wide=(2,), chooses=True)
        self.changes, self.pending = sentence_label(), sentence_label()
        self.name = QLineEdit()
        self.name.setMaxLength(80)
        self.name.setAccessibleName("name of the variant")
        self.name.setPlaceholderText("a name of your own")
        self.keep = QPushButton("Keep as a variant")
        self.take, self.rename = QPushButton("Apply"), QPushButton("Rename")
        self.delete, self.copy = QPushButton("Delete"), QPushButton("Copy table")
        self.export = ExportRow("variants", None)
        self._explain()
        self._lay_out()
        self._connect()

    def _explain(self) -> None:
        for button, tip in (
            (self.keep, "Keep what was changed since the file was saved under this name"),
            (self.take, "Apply the selected variant to the scenario; can be undone"),
            (self.rename, "Give the selected variant this name"),
            (self.delete, "Delete the selected variant; can be undone"),
            (self.copy, "Copy the table as CSV, to be pasted elsewhere"),
        ):
            button.setToolTip(tip)

    def _lay_out(self) -> None:
        buttons, names = FlowLayout(), FlowLayout()
        for button in (self.take, self.delete, self.copy, self.export):
            buttons.addWidget(button)
        for widget in (QLabel("Name"), self.name, self.keep, self.rename):
            names.addWidget(widget)
        self.name.setMinimumWidth(240)
        self.column.addWidget(sentence_label(MEANS))
        self.column.addWidget(self.bar)
        self.column.addWidget(self.table)
        self.column.addWidget(self.changes)
        self.column.addLayout(buttons)
        self.column.addWidget(self.pending)
        self.column.addLayout(names)
        self.column.addStretch(1)

    def _connect(self) -> None:
        self.table.row_chosen.connect(self._on_chosen)
        self.name.textChanged.connect(self._offer)
        self.name.returnPressed.connect(self._on_keep)
        self.keep.clicked.connect(self._on_keep)
        self.take.clicked.connect(self._on_take)
        self.rename.clicked.connect(self._on_rename)
        self.delete.clicked.connect(self._on_delete)
        self.copy.clicked.connect(self._on_copy)
        self.export.table_wanted.connect(self._on_table)
        self._display.units_changed.connect(self._show)

    @property
    def chosen(self) -> Variant | None:
        """The variant whose row is chosen, as it is in the scenario now."""
        row = self.table.chosen_row
        if self._found is None or self.scenario is None or row < 0:
            return None
        rows = [version for version in self._found[1] for _ in version.fates or (None,)]
        variant = rows[row].variant if row < len(rows) else None
        return variant if variant in self.scenario.variants else None

    def show_kept(self, kept: Scenario) -> None:
        """Learn what the file holds: the difference to it can be kept as a variant."""
        self._kept = kept
        self._offer()

    def show_changed(self, scenario: Scenario) -> None:
        self._offer()

    def work(self, scenario: Scenario) -> Search[Any]:
        return _versions(scenario)

    def show_value(self, scenario: Scenario, value: object) -> None:
        self._found = cast("tuple[Scenario, tuple[Version, ...]]", value)
        self._show()

    def _show(self) -> None:
        if self._found is None:
            return
        self.table.show_rows(*shown_rows(*self._found, us=self._display.is_us))
        self.export.set_ready(True)
        self._on_chosen()

    def _on_chosen(self) -> None:
        variant = self.chosen
        lines = []
        if variant is not None and self.scenario is not None:
            note = f": {variant.note}" if variant.note else ""
            lines = [f"{variant.name}{note}"]
            lines += [f"   {line}" for line in change_lines(self.scenario, variant, self._display)]
            if self.name.text() in ("", self._named):
                # What a person typed stays; the name of the row chosen before does not.
                self._named = variant.name
                self.name.setText(variant.name)
        self.changes.setText("\n".join(lines))
        self.changes.setVisible(bool(lines))
        self._offer()

    def _offer(self) -> None:
        """Offer what can be done with the row chosen and with what was changed."""
        variant, words = self.chosen, self.name.text().strip()
        for button in (self.take, self.delete):
            button.setEnabled(variant is not None)
        taken = self.scenario is not None and any(
            words == known.name for known in self.scenario.variants
        )
        self.rename.setEnabled(bool(variant and words and not taken))
        self.copy.setEnabled(self._found is not None)
        waiting = self._waiting()
        self.keep.setEnabled(bool(waiting and words and not taken))
        told = f"Changed since the file was saved: {'; '.join(waiting)}. {WOULD_GO_BACK}"
        self.pending.setText(f"{told} {TAKEN if taken else ''}" if waiting else HOW_TO_KEEP)

    def _waiting(self) -> tuple[str, ...]:
        """Return what was changed since the file was saved, in words."""
        if self._kept is None or self.scenario is None:
            return ()
        before, now = without_variants(self._kept), without_variants(self.scenario)
        return () if before == now else changes_in_words(before, now, TOLD_CHANGES)

    def _on_keep(self) -> None:
        if self.keep.isEnabled() and self._kept is not None and self.scenario is not None:
            now, name = self.scenario, self.name.text().strip()
            held = self._kept.model_copy(update={"variants": now.variants})
            self._ask(f"keeping of {name}", lambda: as_variant(following(now, held), now, name))

    def _on_take(self) -> None:
        variant, now = self.chosen, self.scenario
        if variant is not None and now is not None:
            kept = {"variants": now.variants}
            self._ask(
                f"applying of {variant.name}",
                lambda: variant_of(now, variant.name).model_copy(update=kept),
            )

    def _on_rename(self) -> None:
        variant, now, words = self.chosen, self.scenario, self.name.text().strip()
        if variant is not None and now is not None:
            self._ask(f"renaming of {variant.name}", lambda: renamed(now, variant.name, words))

    def _on_delete(self) -> None:
        variant, now = self.chosen, self.scenario
        if variant is not None and now is not None:
            self._ask(f"deletion of {variant.name}", lambda: without_variant(now, variant.name))

    def _ask(self, text: str, changed: Callable[[], Scenario]) -> None:
        """Ask for an edit, or say beside the name why it cannot be."""
        try:
            wanted = changed()
        except ScenarioError as error:
            self.pending.setText(sentence(error.faults[0].message))
            return
        self.edit_requested.emit(text, wanted)

    def _on_copy(self) -> None:
        if self._found is not None:
            QGuiApplication.clipboard().setText(csv_text(*versions_table(*self._found)))

    def _on_table(self, path: Path) -> None:
        if self._found is not None:
            self.export.write_table(path, versions_table(*self._found))
