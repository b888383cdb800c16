"""What stands in the form of a reading and is not in the log yet, kept with its station."""

from __future__ import annotations

from app.pages.field.bench.kept import is_of_one_file
from app.pages.field.check.reading_form import ReadingForm
from app.state.document import Document
from app.state.loose import key_of


class KeptForm:
    """Holds the form's text among the loose ends, and brings it back with its station.

    An edit of the station takes the text along; another station or another file has its own.
    """

    def __init__(self, form: ReadingForm, document: Document) -> None:
        self._form, self._document = form, document
        self._scenario = document.scenario
        self._index, self._key = -1, ""

    def show_station(self, index: int) -> None:
        """Show what is typed for a station, from 0."""
        scenario = self._document.scenario
        if index >= len(scenario.stations):
            return
        key = self._key_of(index)
        is_same = index == self._index and is_of_one_file(self._scenario, scenario)
        before = self._key
        self._scenario, self._index, self._key = scenario, index, key
        if is_same and before != key:
            self._document.loose.put_all({key: self._form.typed()}, gone=[before])
        elif not is_same:
            self._form.fill_in(self._document.loose.typed.get(key, {}))

    def hold(self) -> None:
        """Keep what is typed by now."""
        if self._key:
            self._document.loose.put_all({self._key: self._form.typed()})

    def _key_of(self, index: int) -> str:
        bare = self._document.scenario.stations[index].model_copy(update={"readings": ()})
        return f"field reading {key_of(self._document.path, bare)}"
