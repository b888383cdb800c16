"""What the posts of a group report during the night, kept on disk at each that is typed."""

from __future__ import annotations

import json
from datetime import datetime
from functools import partial
from pathlib import Path

from app.state.group_kept import kept_folder, kept_name, write_kept
from app.work.disk import disk
from model.group.board import Report


class GroupReports:
    """Reports of one group's file; the file itself stays as it is."""

    def __init__(self, path: Path, folder: Path | None = None) -> None:
        self._folder = folder or kept_folder()
        self._place = self._folder / kept_name(path).replace(".toml", ".reports.json")
        self._held: dict[tuple[str, datetime], Report] = {}
        try:
            self._held = {
                (each.kit, each.at): each for each in disk.get(partial(_read, self._place))
            }
        except OSError:
            self._held = {}

    @property
    def all(self) -> tuple[Report, ...]:
        """The reports, in the order of time."""
        return tuple(sorted(self._held.values(), key=lambda each: each.at))

    def put(self, kit: str, at: datetime, left_ah: float | None) -> None:
        """Take a report over, or take it back."""
        if left_ah is None:
            self._held.pop((kit, at), None)
        else:
            self._held[kit, at] = Report(kit, at, left_ah)
        self._write()

    def clear(self) -> None:
        """Take all reports back."""
        self._held.clear()
        self._write()

    def _write(self) -> None:
        rows = [
            {"kit": each.kit, "at": each.at.isoformat(), "left_ah": each.left_ah}
            for each in self.all
        ]
        disk.ask(partial(write_kept, json.dumps(rows), self._place))


def _read(place: Path) -> list[Report]:
    """Return what was reported; nothing where the file is damaged."""
    if not place.exists():
        return []
    try:
        rows = json.loads(place.read_text(encoding="utf-8"))
        return [
            Report(str(row["kit"]), datetime.fromisoformat(row["at"]), float(row["left_ah"]))
            for row in rows
        ]
    except (ValueError, TypeError, KeyError):
        return []
