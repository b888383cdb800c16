"""Journals: JSON Lines with a sequence number and a check sum, so that no kill can tear one.

A line is appended as something is done. What a kill leaves of the last line, and whatever a bad
disk has made of one, is found by its check sum: the lines before it hold, it and what follows are
dropped, and the reader is told. Lines are ordered by their number, never by a clock.
"""

from __future__ import annotations

import json
import os
import stat
from collections.abc import Iterable, Iterator
from contextlib import suppress
from dataclasses import dataclass
from datetime import date
from hashlib import sha256
from pathlib import Path
from typing import Any

from model.files.atomic_write import SaveError, reason_of, shown_name, write_data

ENDING = ".jsonl"
JOURNAL_LIMIT_BYTES = 64_000_000
# Enough that no chance damage is taken for sound.
_SUM_DIGITS = 16
_DATE = "$date"


@dataclass(frozen=True)
class Journal:
    """What a journal holds.

    Attributes
    ----------
    entries : the sound entries, in the order they were written.
    is_torn : whether a tail was dropped.
    length_bytes : where the sound lines end.
    """

    entries: tuple[Any, ...]
    is_torn: bool = False
    length_bytes: int = 0


def read_journal(path: str | os.PathLike[str]) -> Journal:
    """Return the sound entries of a journal; where there is no file, none.

    Raises
    ------
    OSError, ValueError
        When the file cannot be read, is no file or is larger than any journal.
    """
    try:
        if not stat.S_ISREG(Path(path).stat().st_mode):
            raise ValueError("is not a file")
        with Path(path).open("rb") as file:
            data = file.read(JOURNAL_LIMIT_BYTES + 1)
    except FileNotFoundError:
        return Journal(())
    if len(data) > JOURNAL_LIMIT_BYTES:
        raise ValueError("is larger than any journal")
    entries, length_bytes = [], 0
    for number, line in enumerate(data.splitlines(keepends=True), start=1):
        held = _entry_of(line, number)
        if held is None:
            break
        entries.append(held[0])
        length_bytes += len(line)
    return Journal(tuple(entries), length_bytes < len(data), length_bytes)


def _entry_of(line: bytes, number: int) -> tuple[Any] | None:
    """Return the entry of a sound line that has this number, or None."""
    if not line.endswith(b"\n"):
        return None
    try:
        table = json.loads(line)
        text = _text(table["entry"])
        if table["n"] != number or table["sum"] != _sum(number, text):
            return None
        return (json.loads(text, object_hook=_with_dates),)
    except (ValueError, TypeError, KeyError, RecursionError):
        return None


def _line(number: int, entry: Any) -> bytes:
    text = _text(entry)
    return f'{{"n": {number}, "sum": "{_sum(number, text)}", "entry": {text}}}\n'.encode()


def _text(entry: Any) -> str:
    # NaN stands where a year of weather has a gap; the same library reads it back.
    return json.dumps(entry, default=_plain, sort_keys=True)


def _sum(number: int, text: str) -> str:
    return sha256(f"{number} {text}".encode()).hexdigest()[:_SUM_DIGITS]


def _plain(value: Any) -> Any:
    if isinstance(value, date):
        return {_DATE: value.isoformat()}
    raise TypeError(f"{type(value).__name__} has no place in a journal")


def _with_dates(table: dict[str, Any]) -> Any:
    return date.fromisoformat(table[_DATE]) if set(table) == {_DATE} else table


class JournalFile:
    """One journal that this process writes; a tail torn before is cut off by the first line."""

    def __init__(self, path: Path) -> None:
        self.path = path
        self._number = self._length_bytes = 0
        self._is_known = False

    def append(self, *entries: Any) -> None:
        """Add entries, flushed to the disk.

        Raises
        ------
        SaveError
            When they cannot be added; the journal holds what it held before.
        """
        try:
            self._know()
            lines = [_line(self._number + at, each) for at, each in enumerate(entries, start=1)]
            self._write(b"".join(lines))
        except (OSError, ValueError) as error:
            raise SaveError(f"{shown_name(self.path)}: {reason_of(error)}") from error
        self._number += len(entries)
        self._length_bytes += sum(map(len, lines))

    def replace(self, entries: Iterable[Any]) -> None:
        """Hold these entries instead, whole or not at all; raises SaveError where that fails."""
        data = b"".join(_numbered(entries))
        try:
            self.path.parent.mkdir(parents=True, exist_ok=True)
        except OSError as error:
            raise SaveError(f"{shown_name(self.path.parent)}: {reason_of(error)}") from error
        write_data(data, self.path)
        self._number, self._length_bytes = data.count(b"\n"), len(data)
        self._is_known = True

    def discard(self) -> None:
        """Delete the journal; it may be written again."""
        self.path.unlink(missing_ok=True)
        self._number = self._length_bytes = 0
        self._is_known = True

    def _know(self) -> None:
        if self._is_known:
            return
        self.path.parent.mkdir(parents=True, exist_ok=True)
        held = read_journal(self.path)
        self._number, self._length_bytes = len(held.entries), held.length_bytes
        self._is_known = True

    def _write(self, data: bytes) -> None:
        flags = os.O_WRONLY | os.O_CREAT | getattr(os, "O_BINARY", 0)
        descriptor = os.open(self.path, flags, 0o600)
        try:
            os.ftruncate(descriptor, self._length_bytes)
            os.lseek(descriptor, self._length_bytes, os.SEEK_SET)
            left = memoryview(data)
            while left:
                left = left[os.write(descriptor, left) :]
            os.fsync(descriptor)
        except OSError:
            # A half line would be dropped by every reader; it is no loss where this fails too.
            with suppress(OSError):
                os.ftruncate(descriptor, self._length_bytes)
            raise
        finally:
            os.close(descriptor)


def _numbered(entries: Iterable[Any]) -> Iterator[bytes]:
    for number, entry in enumerate(entries, start=1):
        yield _line(number, entry)
