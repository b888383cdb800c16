"""The last few versions of each file, kept apart before a save replaces them."""

from __future__ import annotations

import hashlib
from dataclasses import dataclass
from datetime import UTC, datetime
from pathlib import Path

import platformdirs

from model.editing.faults import ScenarioError
from model.files.atomic_write import SaveError, write_data
from model.files.scenario_file import read_bytes

VERSIONS_KEPT = 5
_STAMP = "%Y-%m-%dT%H-%M-%S-%f"


@dataclass(frozen=True)
class Backup:
    """An earlier version of a file, and when a save replaced it."""

    path: Path
    replaced: datetime


class Backups:
    """Copies of files as they stood before a save, by file, the newest few of each."""

    def __init__(self, folder: Path | None = None) -> None:
        data = platformdirs.user_data_path("Counterpoise", appauthor=False)
        self._folder = folder or data / "backups"

    def keep(self, path: Path, now: datetime) -> str:
        """Copy what stands at a path; return why that failed, or nothing."""
        if not path.exists():
            return ""
        try:
            held = read_bytes(path)
            before = self.of(path)
            if before and before[0].path.read_bytes() == held:
                return ""
            folder = self._of(path)
            folder.mkdir(parents=True, exist_ok=True)
            write_data(held, folder / f"{now.astimezone(UTC).strftime(_STAMP)}.toml")
            for old in self.of(path)[VERSIONS_KEPT:]:
                old.path.unlink()
        except (OSError, SaveError, ScenarioError) as error:
            return str(error)
        return ""

    def of(self, path: Path) -> list[Backup]:
        """Return the earlier versions of a file, the newest first."""
        found = []
        try:
            for copy in self._of(path).glob("*.toml"):
                replaced = _time_of(copy)
                if replaced is not None:
                    found.append(Backup(copy, replaced))
        except OSError:
            return []
        return sorted(found, key=lambda backup: backup.replaced, reverse=True)

    def _of(self, path: Path) -> Path:
        whole = str(path.resolve())
        return self._folder / hashlib.sha256(whole.encode("utf-8", "surrogateescape")).hexdigest()


def _time_of(copy: Path) -> datetime | None:
    try:
        return datetime.strptime(copy.stem, _STAMP).replace(tzinfo=UTC)
    except ValueError:
        return None
