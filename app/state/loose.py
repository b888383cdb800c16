"""Loose ends: what was typed and is in no file yet; it outlives the window through its journal.

Readings typed at the bench stand under their file and station until they are put into it. A
station of a scenario that has no file yet is known by what it is made of, so that readings never
turn up at a station of the same name in another scenario.
"""

from __future__ import annotations

import json
from collections.abc import Iterable, Mapping
from hashlib import sha256
from pathlib import Path

from PySide6.QtCore import QObject, Signal

from model.files.work_record import PartChange, Typed
from model.scenario.station import Station


class LooseEnds(QObject):
    """Readings by the key of their station, and changes of the library not in its folder yet."""

    changed = Signal()

    def __init__(self, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._held: dict[str, Typed] = {}
        self._parts: tuple[PartChange, ...] = ()

    @property
    def is_empty(self) -> bool:
        """Whether nothing is loose."""
        return not self._held and not self._parts

    @property
    def typed(self) -> dict[str, Typed]:
        """All readings, by key."""
        return dict(self._held)

    @property
    def parts(self) -> tuple[PartChange, ...]:
        """The changes of the library that are not in its folder yet."""
        return self._parts

    def set_parts(self, parts: Iterable[PartChange]) -> None:
        """Hold changes of the library; none means that its folder has them."""
        listed = tuple(parts)
        if listed != self._parts:
            self._parts = listed
            self.changed.emit()

    def of(self, path: Path | None, station: Station) -> Typed:
        """Return what is held for a station."""
        return self._held.get(key_of(path, station), {})

    def put(self, path: Path | None, station: Station, typed: Typed) -> None:
        """Hold what was typed for a station; nothing typed means nothing held."""
        self.put_all({key_of(path, station): typed})

    def put_all(self, typed: Mapping[str, Typed], gone: Iterable[str] = ()) -> None:
        """Hold what was typed, by key, and forget what is gone."""
        before = dict(self._held)
        for key in gone:
            self._held.pop(key, None)
        for key, each in typed.items():
            self._held.pop(key, None)
            if each:
                self._held[key] = dict(each)
        if self._held != before:
            self.changed.emit()


def key_of(path: Path | None, station: Station) -> str:
    """Return what a station is known by, from one start to the next."""
    if path is not None:
        return json.dumps([str(path), station.name])
    made_of = station.model_dump_json(exclude_defaults=True, by_alias=True)
    return json.dumps(["", station.name, sha256(made_of.encode()).hexdigest()[:16]])
