"""The library's parts for one place in a station, with the numbers that matter beside each."""

from __future__ import annotations

from PySide6.QtWidgets import QWidget

from app.editors.popovers.field_popover import Sheet
from app.editors.popovers.part_table import PartTable
from app.state.edit_context import Desk
from app.widgets.labels import sentence_label
from model.editing.edit_stations import fitted, is_listed, station_of
from model.editing.field_facts import place_words
from model.editing.paths import value_at, with_removed
from model.library.catalogue import Library
from model.results.wording import heading_at, name_at
from model.scenario.kinds import KIND_OF_SLOT, PartKind
from model.scenario.station import Part


class PartsSheet(Sheet):
    """Each part that is chosen stands in the station at once; another one takes its place.

    A part that stands there and is not the library's is offered first, to compare and to go back.
    """

    def __init__(self, desk: Desk, path: str, library: Library) -> None:
        """Offer parts for a slot, for an entry of a list, or for one more of a list."""
        super().__init__(desk, path)
        self.kind: PartKind = KIND_OF_SLOT[path.split(".")[2]]
        self._index = station_of(path)
        self._place = self._place_in_list()
        self.parts: tuple[Part | None, ...] = library.of(self.kind.key)
        if not self.kind.is_list and not self.kind.is_needed:
            self.parts = (*self.parts, None)
        held = self._held()
        self._own = held if held is not None and held not in self.parts else None
        if self._own is not None:
            self.parts = (self._own, *self.parts)
        self.table = PartTable(f"parts to choose from: {self.title}", self.kind, desk.display)
        self.table.part_chosen.connect(self._on_chosen)
        if self.parts:
            self.whole.addWidget(self.table)
        else:
            self.whole.addWidget(sentence_label("The library has none."))

    def _place_in_list(self) -> int | None:
        if not self.kind.is_list:
            return None
        if is_listed(self.path):
            return int(self.path.rpartition(".")[2])
        return len(value_at(self.desk.document.scenario, self.path))

    @property
    def title(self) -> str:
        who = heading_at(self.desk.document.scenario, self._index)
        return f"{KIND_OF_SLOT[self.path.split('.')[2]].label} for {who}"

    @property
    def deed(self) -> str:
        # The step is called by the part that is kept.
        return ""

    def is_there(self) -> bool:
        return self._index < len(self.desk.document.scenario.stations)

    def refresh(self) -> None:
        if self.parts:
            held = self._held()
            chosen = self.parts.index(held) if held in self.parts else -1
            self.table.show_parts(self.parts, chosen, is_own_first=self._own is not None)

    def first(self) -> QWidget:
        return self.table if self.parts else self

    def _held(self) -> Part | None:
        held = getattr(self.desk.document.scenario.stations[self._index], self.kind.slot)
        if self._place is None:
            return held  # type: ignore[no-any-return]
        return held[self._place] if self._place < len(held) else None

    def _on_chosen(self, row: int) -> None:
        if self.parts[row] == self._held():
            return
        part, scenario = self.parts[row], self.desk.document.scenario
        if part is None:
            words, after = f"removal of {place_words(self.path)}", with_removed(scenario, self.path)
        else:
            words = f"{part.name} for {name_at(scenario, self._index)}"
            after = fitted(scenario, self._index, part, self._free_place())
        self.desk.document.replace(words, after, self.path)

    def _free_place(self) -> int | None:
        """Return the entry that a part takes the place of; None where it is one more."""
        held = getattr(self.desk.document.scenario.stations[self._index], self.kind.slot)
        return self._place if self._place is not None and self._place < len(held) else None
