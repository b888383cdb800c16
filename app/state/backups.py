"""The last few versions of each file, kept apart before a save replaces them."""

from __future__ import annotations

import hashlib
import os
import re
from contextlib import suppress
from dataclasses import dataclass
from datetime import UTC, datetime
from pathlib import Path

import platformdirs

from model.editing.faults import ScenarioError
from model.files.atomic_write import SaveError, reason_of, shown_name, write_data
from model.files.scenario_file import read_bytes

VERSIONS_KEPT = 5
_STAMP = "%Y-%m-%dT%H-%M-%S-%f"
# Versions are told apart by their number: a clock that was set back orders nothing.
_NAME = re.compile(r"(?:(?P<number>\d{6,12})_)?(?P<stamp>[-\dT]+)\.toml")


@dataclass(frozen=True)
class Backup:
    """An earlier version of a file, and when a save replaced it."""

    path: Path
    replaced: datetime
    number: int = 0


class Backups:
    """Copies of files as they stood before a save, by file, the newest few of each."""

    def __init__(self, folder: Path | None = None) -> None:
        data = platformdirs.user_data_path("Counterpoise", appauthor=False)
        self._folder = folder or data / "backups"

    def keep(self, path: Path, now: datetime) -> str:
        """Copy what stands at a path; return why that failed, or nothing."""
        try:
            if not path.exists():
                return ""
            held = read_bytes(path)
            before = self.of(path)
            if before and before[0].path.read_bytes() == held:
                return ""
            folder = self._of(path)
            folder.mkdir(parents=True, exist_ok=True)
            number = before[0].number + 1 if before else 1
            moment = now.astimezone(UTC)
            # A year before 1000 gets too few digits on some systems.
            stamp = moment.strftime(_STAMP.replace("%Y", f"{moment.year:04d}"))
            write_data(held, folder / f"{number:06d}_{stamp}.toml")
        except (SaveError, ScenarioError) as error:
            return str(error)
        except (OSError, ValueError) as error:
            return f"{shown_name(path)}: {reason_of(error)}"
        for old in before[VERSIONS_KEPT - 1 :]:
            # A version too many is no fault of the save.
            with suppress(OSError):
                old.path.unlink()
        return ""

    def of(self, path: Path) -> list[Backup]:
        """Return the earlier versions of a file, the newest first."""
        try:
            found = [each for each in map(_backup, self._of(path).glob("*.toml")) if each]
        except (OSError, ValueError):
            return []
        return sorted(found, key=lambda each: (each.number, each.replaced), reverse=True)

    def _of(self, path: Path) -> Path:
        whole = os.path.realpath(path)
        return self._folder / hashlib.sha256(whole.encode("utf-8", "surrogateescape")).hexdigest()


def words_of_time(backup: Backup) -> str:
    """Return when a version was replaced, in local time."""
    try:
        replaced = backup.replaced.astimezone()
    except OverflowError:
        # The first or the last day of all years, in another zone, is none.
        replaced = backup.replaced
    return f"{replaced:%Y-%m-%d at %H:%M}"


def _backup(copy: Path) -> Backup | None:
    """Return the version in a file; those of earlier programs have no number and come last."""
    found = _NAME.fullmatch(copy.name)
    if found is None:
        return None
    try:
        replaced = datetime.strptime(found["stamp"], _STAMP).replace(tzinfo=UTC)
    except ValueError:
        return None
    return Backup(copy, replaced, int(found["number"] or 0))
