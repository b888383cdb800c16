"""What is remembered between sessions; the only user of QSettings."""

from __future__ import annotations

import re
from pathlib import Path
from typing import Any

from PySide6.QtCore import QByteArray, QSettings

from app.work.disk import disk
from model.files.atomic_write import reason_of

PATIENCE_S = 3.0
VERSION = 1
VERSION_KEY = "settings/version"
FILE_LIMIT_BYTES = 1_000_000
RECENT_LIMIT = 8
# A heading, a remark, a value, or nothing.
_LINE = re.compile(r"\s*(\[[^\]]+\]|[;#].*|[^=\s][^=]*=.*)?\s*")
# Where an earlier window, and windows beside it, stood: they are gone.
OF_THE_OLD_WINDOW = (
    "window/geometry", "window/across", "views/kit_page", "views/leads", "views/sizing",
    "views/sureness", "views/signals", "views/bench", "views/field_check",
)  # fmt: skip
THEMES = ("system", "light", "dark")
TEXT_SIZES_PERCENT = (80, 90, 100, 110, 125, 150, 175, 200)


class Settings:
    """Typed access to each remembered value; an unreadable one counts as not remembered."""

    def __init__(self, *, is_safe: bool = False) -> None:
        self.fault = ""
        self._kept: QSettings | _Unkept
        if is_safe:
            self._kept = _Unkept()
            return
        file, self.fault = _file_to_use()
        self._kept = QSettings(str(file), QSettings.Format.IniFormat)
        if not self._kept.contains(VERSION_KEY):
            self._kept.setValue(VERSION_KEY, VERSION)
        for key in OF_THE_OLD_WINDOW:
            self._kept.remove(key)
        self._kept.sync()
        if self._kept.status() != QSettings.Status.NoError and not self.fault:
            self.fault = "Settings cannot be kept: their folder cannot be written to"

    @property
    def is_us(self) -> bool:
        """Whether masses, temperatures and lengths are shown in US customary units."""
        return bool(self._kept.value("display/us", False, type=bool))

    @is_us.setter
    def is_us(self, value: bool) -> None:
        self._kept.setValue("display/us", value)

    @property
    def shows_band(self) -> bool:
        """Whether the day shows how far the guesses may move its curves."""
        return bool(self._kept.value("display/band", False, type=bool))

    @shows_band.setter
    def shows_band(self, value: bool) -> None:
        self._kept.setValue("display/band", value)

    @property
    def theme(self) -> str:
        """Which palette is worn: the system's choice, light or dark."""
        kept = self._kept.value("display/theme", THEMES[0])
        return kept if kept in THEMES else THEMES[0]

    @theme.setter
    def theme(self, value: str) -> None:
        self._kept.setValue("display/theme", value)

    @property
    def text_percent(self) -> int:
        """Size of text over the system's, in per cent."""
        kept = self._kept.value("display/text_percent", 100, type=int)
        return kept if kept in TEXT_SIZES_PERCENT else 100

    @text_percent.setter
    def text_percent(self, value: int) -> None:
        self._kept.setValue("display/text_percent", value)

    @property
    def window_place(self) -> QByteArray:
        """Place and size of the window; empty when there is none yet."""
        return self._bytes("window/place")

    @window_place.setter
    def window_place(self, value: QByteArray) -> None:
        self._kept.setValue("window/place", value)

    @property
    def left_share(self) -> float:
        """Share of the window that the left side was dragged to; 0 where it never was."""
        share = self._kept.value("window/left_share", 0.0, type=float)
        return share if isinstance(share, float) and 0 < share < 1 else 0.0

    @left_share.setter
    def left_share(self, value: float) -> None:
        self._kept.setValue("window/left_share", value)

    def view_geometry(self, key: str) -> QByteArray:
        """Place and size of a window beside the main one; empty when there is none yet."""
        return self._bytes(f"views/{key}")

    def keep_view_geometry(self, key: str, value: QByteArray) -> None:
        """Remember place and size of a window beside the main one."""
        self._kept.setValue(f"views/{key}", value)

    @property
    def recent_files(self) -> list[str]:
        """Files opened or saved of late, the latest first."""
        kept = self._kept.value("files/recent", [])
        if isinstance(kept, str):
            return [kept] if kept else []
        items = kept if isinstance(kept, list) else []
        return [item for item in items if isinstance(item, str)][:RECENT_LIMIT]

    def remember_file(self, path: str) -> None:
        """Put a file at the head of the recent ones."""
        rest = [item for item in self.recent_files if item != path]
        self._kept.setValue("files/recent", [path, *rest][:RECENT_LIMIT])

    def forget_file(self, path: str) -> None:
        """Drop a file that is no longer there."""
        self._kept.setValue("files/recent", [item for item in self.recent_files if item != path])

    def _bytes(self, key: str) -> QByteArray:
        kept = self._kept.value(key)
        return kept if isinstance(kept, QByteArray) else QByteArray()


class _Unkept:
    """Settings that nothing is read from and nothing is written to."""

    def __init__(self) -> None:
        self._values: dict[str, Any] = {}

    def value(self, key: str, default: Any = None, type: Any = None) -> Any:  # noqa: A002
        """Return a value of this session."""
        return self._values.get(key, default)

    def setValue(self, key: str, value: Any) -> None:  # noqa: N802
        """Hold a value for this session."""
        self._values[key] = value


def _file_to_use() -> tuple[Path, str]:
    """Return the settings file, once a strange one is out of the way, and what to say of that."""
    # Another name: reading the file itself is what has to wait.
    beside = QSettings(
        QSettings.Format.IniFormat, QSettings.Scope.UserScope, "Counterpoise", "none"
    )
    file = Path(beside.fileName()).with_name("Counterpoise.ini")
    try:
        data = disk.get(lambda: _data_of(file), PATIENCE_S)
    except FileNotFoundError:
        return file, ""
    except OSError as error:
        return file.with_name("none.ini"), f"Settings cannot be read: {reason_of(error)}"
    if _is_sound(data):
        return file, ""
    aside = file.with_name(f"{file.name}.set-aside")
    try:
        disk.get(lambda: file.replace(aside), PATIENCE_S)
    except OSError:
        return file.with_name("none.ini"), "Your settings cannot be read; the usual ones are used"
    return file, f"Your settings could not be read; they are set aside as {aside}"


def _data_of(file: Path) -> bytes:
    with file.open("rb") as held:
        return held.read(FILE_LIMIT_BYTES + 1)


def _is_sound(data: bytes) -> bool:
    """Whether these are settings as this version, or an earlier one, writes them."""
    if len(data) > FILE_LIMIT_BYTES or b"\0" in data or b"@Variant(" in data:
        return False
    try:
        lines = data.decode().splitlines()
    except UnicodeDecodeError:
        return False
    if not all(_LINE.fullmatch(line) for line in lines):
        return False
    versions = [line.partition("=")[2] for line in lines if line.startswith("version=")]
    return all(version.isdecimal() and int(version[:9]) <= VERSION for version in versions)
