"""What is remembered from start to start: one TOML file, read and written on the disk's thread."""

from __future__ import annotations

import base64
import binascii
import logging
import tomllib
from collections.abc import Callable
from functools import partial
from pathlib import Path
from typing import Any

import platformdirs
import tomli_w
from PySide6.QtCore import QByteArray, QObject, Signal

from app.state.old_settings import read_old
from app.work.answered import Answered
from app.work.disk import disk
from model.files.atomic_write import SaveError, reason_of, write_data
from model.library.new_scenario import Home, home_table, read_home

PATIENCE_S = 3.0
VERSION = 1
FILE_NAME = "settings.toml"
FILE_LIMIT_BYTES = 1_000_000
RECENT_LIMIT = 8
THEMES = ("system", "light", "dark")
TEXT_SIZES_PERCENT = (80, 90, 100, 110, 125, 150, 175, 200)
_log = logging.getLogger("counterpoise")

Table = dict[str, Any]
Change = Callable[[Table], None]


class Settings(QObject):
    """Typed access to each remembered value; an unreadable one counts as not remembered.

    A change holds at once and is written a moment later, into what the file holds by then: windows
    side by side keep each other's. ``failed`` says, once, why nothing is remembered any more.
    """

    failed = Signal(str)

    def __init__(self, *, is_safe: bool = False, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self.fault = ""
        self._table: Table = {}
        # Without a file, what is chosen holds until the program ends.
        self._file: Path | None = None
        self._was_told = False
        self._answered = Answered(self)
        if not is_safe:
            self._read(settings_file())

    def _read(self, file: Path) -> None:
        try:
            self._table, self.fault = disk.get(lambda: _begun(file), PATIENCE_S)
        except (OSError, SaveError) as error:
            why = reason_of(error) if isinstance(error, OSError) else str(error)
            self.fault = f"Settings cannot be kept: {why}"
            return
        self._file = file

    @property
    def is_us(self) -> bool:
        """Whether masses, temperatures and lengths are shown in US customary units."""
        return self._value("display", "us") is True

    @is_us.setter
    def is_us(self, value: bool) -> None:
        self._keep("display", "us", value)

    @property
    def shows_band(self) -> bool:
        """Whether the day shows how far the guesses may move its curves."""
        return self._value("display", "band") is True

    @shows_band.setter
    def shows_band(self, value: bool) -> None:
        self._keep("display", "band", value)

    @property
    def first_steps_over(self) -> bool:
        """Whether what a first start offers was used or closed."""
        return self._value("window", "first_steps_over") is True

    @first_steps_over.setter
    def first_steps_over(self, value: bool) -> None:
        self._keep("window", "first_steps_over", value)

    @property
    def theme(self) -> str:
        """Which palette is worn: the system's choice, light or dark."""
        kept = self._value("display", "theme")
        return kept if kept in THEMES else THEMES[0]

    @theme.setter
    def theme(self, value: str) -> None:
        self._keep("display", "theme", value)

    @property
    def text_percent(self) -> int:
        """Size of text over the system's, in per cent."""
        kept = self._value("display", "text_percent")
        return kept if kept in TEXT_SIZES_PERCENT else 100

    @text_percent.setter
    def text_percent(self, value: int) -> None:
        self._keep("display", "text_percent", value)

    @property
    def window_place(self) -> QByteArray:
        """Place and size of the window; empty when there is none yet."""
        return self._bytes("window", "place")

    @window_place.setter
    def window_place(self, value: QByteArray) -> None:
        self._keep("window", "place", _as_text(value))

    @property
    def left_share(self) -> float:
        """Share of the window that the left side was dragged to; 0 where it never was."""
        share = self._value("window", "left_share")
        return share if isinstance(share, float) and 0 < share < 1 else 0.0

    @left_share.setter
    def left_share(self, value: float) -> None:
        self._keep("window", "left_share", value)

    @property
    def home(self) -> Home | None:
        """The place a new scenario begins at; None while none is remembered."""
        held = self._table.get("home")
        return read_home(held) if isinstance(held, dict) else None

    def remember_home(self, home: Home) -> None:
        """Let new scenarios begin at a place."""
        self._change(partial(_replace, "home", home_table(home)))

    def forget_home(self) -> None:
        """Let new scenarios begin at an invented place again."""
        self._change(partial(_replace, "home", {}))

    @property
    def report_columns(self) -> dict[str, str]:
        """Headings chosen in tables of reception reports, by what they hold."""
        return self._columns("report_columns")

    @report_columns.setter
    def report_columns(self, value: dict[str, str]) -> None:
        self._change(partial(_put_table, "report_columns", dict(value)))

    @property
    def logger_columns(self) -> dict[str, str]:
        """Headings chosen in a logger's table, by what they hold, and the sign of its current."""
        return self._columns("logger_columns")

    @logger_columns.setter
    def logger_columns(self, value: dict[str, str]) -> None:
        self._change(partial(_put_table, "logger_columns", dict(value)))

    def _columns(self, name: str) -> dict[str, str]:
        kept = self._table.get(name)
        held = kept.items() if isinstance(kept, dict) else ()
        return {key: head for key, head in held if isinstance(head, str)}

    def view_geometry(self, key: str) -> QByteArray:
        """Place and size of a window beside the main one; empty when there is none yet."""
        return self._bytes("views", key)

    def keep_view_geometry(self, key: str, value: QByteArray) -> None:
        """Remember place and size of a window beside the main one."""
        self._keep("views", key, _as_text(value))

    @property
    def recent_files(self) -> list[str]:
        """Files opened or saved of late, the latest first."""
        return _recent(self._table)

    def remember_file(self, path: str) -> None:
        """Put a file at the head of the recent ones."""
        self._change(partial(_put_first, path))

    def forget_file(self, path: str) -> None:
        """Drop a file that is no longer there."""
        self._change(partial(_drop, path))

    def close(self) -> None:
        """Say nothing any more; what was chosen is written all the same."""
        self._answered.forget()

    def _value(self, group: str, key: str) -> Any:
        held = self._table.get(group)
        return held.get(key) if isinstance(held, dict) else None

    def _bytes(self, group: str, key: str) -> QByteArray:
        kept = self._value(group, key)
        try:
            return QByteArray(base64.b64decode(kept, validate=True))
        except (TypeError, ValueError, binascii.Error):
            return QByteArray()

    def _keep(self, group: str, key: str, value: Any) -> None:
        self._change(partial(_put, group, key, value))

    def _change(self, change: Change) -> None:
        change(self._table)
        file, table = self._file, _copy(self._table)
        if file is not None:
            asked = disk.ask(lambda: _rewrite(file, change, table))
            self._answered.then(asked, self._on_written)

    def _on_written(self, fault: str) -> None:
        if fault and not self._was_told:
            self.failed.emit(f"Settings cannot be kept: {fault}")
        self._was_told = bool(fault)


def settings_file() -> Path:
    """Return where settings are kept."""
    return platformdirs.user_config_path("Counterpoise", appauthor=False) / FILE_NAME


def _put(group: str, key: str, value: Any, table: Table) -> None:
    held = table.get(group)
    table[group] = {**(held if isinstance(held, dict) else {}), key: value}


def _replace(group: str, held: Table, table: Table) -> None:
    table[group] = held


def _put_table(group: str, value: Table, table: Table) -> None:
    table[group] = dict(value)


def _recent(table: Table) -> list[str]:
    held = table.get("files")
    kept = held.get("recent") if isinstance(held, dict) else None
    items = kept if isinstance(kept, list) else []
    return [item for item in items if isinstance(item, str)][:RECENT_LIMIT]


def _put_first(path: str, table: Table) -> None:
    rest = [item for item in _recent(table) if item != path]
    _put("files", "recent", [path, *rest][:RECENT_LIMIT], table)


def _drop(path: str, table: Table) -> None:
    _put("files", "recent", [item for item in _recent(table) if item != path], table)


def _as_text(value: QByteArray) -> str:
    return base64.b64encode(value.data()).decode("ascii")


def _copy(table: Table) -> Table:
    return {key: dict(held) if isinstance(held, dict) else held for key, held in table.items()}


# On the disk's thread.


def _begun(file: Path) -> tuple[Table, str]:
    """Return what is remembered, once a strange file is out of the way, and what to say of that."""
    data = _data_of(file)
    if data is None:
        table = {"version": VERSION, **read_old(file.parent)}
        # Where nothing can be kept, that is said at the start.
        _write(table, file)
        return table, ""
    held = _sound(data)
    if held is not None:
        return held, ""
    aside = file.with_name(f"{file.name}.set-aside")
    file.replace(aside)
    return {"version": VERSION}, f"Your settings could not be read; they are set aside as {aside}"


def _rewrite(file: Path, change: Change, ours: Table) -> str:
    """Make a change in the file; return why that failed, or nothing."""
    try:
        data = _data_of(file)
        held = None if data is None else _sound(data)
        # Gone or damaged since the start, it is written anew.
        table = ours if held is None else held
        change(table)
        _write({**table, "version": VERSION}, file)
    except (OSError, SaveError) as error:
        why = reason_of(error) if isinstance(error, OSError) else str(error)
        _log.warning("settings are not kept: %s", why)
        return why
    return ""


def _write(table: Table, file: Path) -> None:
    try:
        file.parent.mkdir(parents=True, exist_ok=True)
    except OSError as error:
        raise SaveError(f"{file.parent.name}: {reason_of(error)}") from error
    # A file's name need not be text: its bytes go through as they are.
    write_data(tomli_w.dumps(table).encode("utf-8", "surrogateescape"), file)


def _data_of(file: Path) -> bytes | None:
    try:
        with file.open("rb") as held:
            return held.read(FILE_LIMIT_BYTES + 1)
    except FileNotFoundError:
        return None


def _sound(data: bytes) -> Table | None:
    """Return settings as this version writes them; None of anything else."""
    if len(data) > FILE_LIMIT_BYTES:
        return None
    try:
        table = tomllib.loads(data.decode("utf-8", "surrogateescape"))
    except (ValueError, RecursionError):
        return None
    version = table.get("version")
    return table if isinstance(version, int) and 0 < version <= VERSION else None
