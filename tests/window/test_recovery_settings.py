"""Strange settings are set aside, and a home that cannot be written to stops nothing."""

from __future__ import annotations

from pathlib import Path

import pytest
from PySide6.QtCore import QSettings
from PySide6.QtWidgets import QApplication

from app import window as window_module
from app.state.settings import VERSION, Settings


@pytest.fixture
def file(fresh_home: Path) -> Path:
    path = fresh_home / ".config" / "Counterpoise" / "Counterpoise.ini"
    path.parent.mkdir(parents=True, exist_ok=True)
    return path


@pytest.mark.parametrize(
    "data",
    [
        b"\0\xff\xfe\0garbage" * 50,
        b"no equals\n[unclosed\nx",
        b"\x80\x81=1",
        b'{"json": 1}',
        b"[settings]\nversion=99\n[display]\nus=true\n",
        b"[settings]\nversion=abc\n",
        b"[settings]\nversion=" + b"9" * 5000,
        b"a=1\n" * 400_000,
        b"<xml/>",
        bytes(range(256)) * 9,
        b"[window]\ngeometry=@Variant(\\0\\0\\0\\x7f\\0\\0\\0\\x10PyObjectWrapper)\n",
    ],
    ids=lambda data: repr(data[:16]),
)
def test_strange_settings_are_set_aside_and_not_obeyed(file: Path, data: bytes) -> None:
    file.write_bytes(data)
    settings = Settings()
    assert "set aside" in settings.fault
    assert not settings.is_us
    assert settings.recent_files == []
    assert file.with_name(f"{file.name}.set-aside").read_bytes() == data
    settings.is_us = True
    del settings
    again = Settings()
    assert again.fault == ""
    assert again.is_us


def test_values_of_another_kind_count_as_not_remembered(file: Path) -> None:
    file.write_text(
        f"[settings]\nversion={VERSION}\n[display]\ntext_percent=huge\nus=\n"
        "[files]\nrecent=@Invalid()\n[window]\nplace=7\nleft_share=x\n",
        encoding="utf-8",
    )
    settings = Settings()
    assert settings.fault == ""
    assert (settings.text_percent, settings.is_us, settings.recent_files) == (100, False, [])
    assert settings.window_place.isEmpty()
    assert settings.left_share == 0
    assert settings.theme == "system"


def test_where_the_old_window_stood_is_forgotten(file: Path) -> None:
    file.write_text(
        f"[settings]\nversion={VERSION}\n[window]\ngeometry=7\nacross=x\n[views]\nleads=8\n",
        encoding="utf-8",
    )
    settings = Settings()
    settings.theme = "dark"
    del settings
    kept = file.read_text(encoding="utf-8")
    assert "geometry" not in kept
    assert "across" not in kept
    assert "leads" not in kept
    assert "dark" in kept


def test_what_this_program_writes_it_finds_sound(file: Path) -> None:
    settings = Settings()
    settings.remember_file('/home/a b/ø "<b>" 100 %.toml')
    settings.remember_file("/x/=[y];#.toml")
    settings.text_percent = 110
    settings._kept.sync()
    assert file.exists()
    again = Settings()
    assert again.fault == ""
    assert len(again.recent_files) == 2


@pytest.mark.usefixtures("fusion", "answers")
def test_the_program_opens_and_closes_in_a_home_that_takes_no_file(
    qapp: QApplication, monkeypatch: pytest.MonkeyPatch, tmp_path: Path
) -> None:
    """A file where each folder should be refuses every write, whoever runs the test."""
    blocked = tmp_path / "blocked"
    blocked.write_text("", encoding="utf-8")
    for variable in (
        "HOME",
        "XDG_CONFIG_HOME",
        "XDG_DATA_HOME",
        "XDG_STATE_HOME",
        "XDG_CACHE_HOME",
    ):
        monkeypatch.setenv(variable, str(blocked / "home"))
    for kind in (QSettings.Format.NativeFormat, QSettings.Format.IniFormat):
        QSettings.setPath(kind, QSettings.Scope.UserScope, str(blocked / "home"))
    said: list[str] = []

    def one_look(self: QApplication) -> int:
        for widget in self.topLevelWidgets():
            if isinstance(widget, window_module.MainWindow) and widget.isVisible():
                said.append(widget.foot.message)
                widget.document.edit("stations.0.reserve_fraction", 0.44)
                assert widget.close()
        QApplication.processEvents()
        return 0

    monkeypatch.setattr(QApplication, "exec", one_look)
    assert window_module.open_window([]) == 0
    assert len(said) == 1
    assert "cannot be" in said[0]
    assert qapp is not None
