"""What is remembered between sessions; the only user of QSettings."""

from __future__ import annotations

from PySide6.QtCore import QByteArray, QSettings

RECENT_LIMIT = 8
TEXT_SIZES_PERCENT = (80, 90, 100, 110, 125, 150, 175, 200)


class Settings:
    """Typed access to each remembered value; an unreadable one counts as not remembered."""

    def __init__(self) -> None:
        self._kept = QSettings(
            QSettings.Format.IniFormat, QSettings.Scope.UserScope, "Counterpoise", "Counterpoise"
        )

    @property
    def is_us(self) -> bool:
        """Whether masses, temperatures and lengths are shown in US customary units."""
        return bool(self._kept.value("display/us", False, type=bool))

    @is_us.setter
    def is_us(self, value: bool) -> None:
        self._kept.setValue("display/us", value)

    @property
    def text_percent(self) -> int:
        """Size of text over the system's, in per cent."""
        kept = self._kept.value("display/text_percent", 100, type=int)
        return kept if kept in TEXT_SIZES_PERCENT else 100

    @text_percent.setter
    def text_percent(self, value: int) -> None:
        self._kept.setValue("display/text_percent", value)

    @property
    def geometry(self) -> QByteArray:
        """Place and size of the window; empty when there is none yet."""
        return self._bytes("window/geometry")

    @geometry.setter
    def geometry(self, value: QByteArray) -> None:
        self._kept.setValue("window/geometry", value)

    @property
    def across(self) -> QByteArray:
        """How the window is divided between stations and day."""
        return self._bytes("window/across")

    @across.setter
    def across(self, value: QByteArray) -> None:
        self._kept.setValue("window/across", value)

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
