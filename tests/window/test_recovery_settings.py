"""Strange settings are set aside, and a home that cannot be written to stops nothing."""

from __future__ import annotations

import errno
from pathlib import Path

import pytest
from failing_disk import FailingDisk, failing_disk
from PySide6.QtWidgets import QApplication
from pytestqt.qtbot import QtBot

from app import window as window_module
from app.state.old_settings import FILE_NAME
from app.state.settings import VERSION, Settings, settings_file
from app.work.disk import disk

__all__ = ["failing_disk"]


@pytest.fixture
def file() -> Path:
    path = settings_file()
    path.parent.mkdir(parents=True, exist_ok=True)
    return path


@pytest.mark.parametrize(
    "data",
    [
        b"\0\xff\xfe\0garbage" * 50,
        b"no equals\n[unclosed\nx",
        b"\x80\x81=1",
        b'{"json": 1}',
        b"version = 99\n[display]\nus = true\n",
        b'version = "abc"\n',
        b"[display]\nus = true\n",
        b"version = " + b"9" * 5000,
        b"a=1\n" * 400_000,
        b"<xml/>",
        bytes(range(256)) * 9,
        b"a = " + b"[" * 5000,
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
    again = Settings()
    assert again.fault == ""
    assert again.is_us


def test_values_of_another_kind_count_as_not_remembered(file: Path) -> None:
    file.write_text(
        f"version = {VERSION}\nviews = 7\n[display]\ntext_percent = 'huge'\nus = 'yes'\n"
        "[home]\nsite = 'x'\n[files]\nrecent = [7, 'a.toml']\n"
        "[window]\nplace = '*'\nleft_share = 'x'\n",
        encoding="utf-8",
    )
    settings = Settings()
    assert settings.fault == ""
    assert (settings.text_percent, settings.is_us) == (100, False)
    assert settings.recent_files == ["a.toml"]
    assert settings.window_place.isEmpty()
    assert settings.view_geometry("library").isEmpty()
    assert settings.left_share == 0
    assert settings.theme == "system"
    assert settings.home is None
    settings.keep_view_geometry("library", settings.window_place)
    assert Settings().fault == ""


def test_what_this_program_writes_it_finds_sound() -> None:
    settings = Settings()
    names = ['/home/a b/ø "<b>" 100 %.toml', "/x/=[y];#.toml", "/x/\udcff.toml", "/x/\n\t\\.toml"]
    for name in names:
        settings.remember_file(name)
    settings.text_percent = 110
    settings.left_share = 0.4
    again = Settings()
    assert again.fault == ""
    assert again.recent_files == names[::-1]
    assert (again.text_percent, again.left_share) == (110, 0.4)
    again.forget_file(names[0])
    assert Settings().recent_files == names[:0:-1]


def test_two_windows_keep_what_each_has_chosen() -> None:
    one, other = Settings(), Settings()
    one.remember_file("/a.toml")
    other.remember_file("/b.toml")
    one.is_us = True
    other.theme = "dark"
    held = Settings()
    assert held.recent_files == ["/b.toml", "/a.toml"]
    assert (held.is_us, held.theme) == (True, "dark")


def test_display_and_recent_files_of_an_earlier_program_are_taken_over(file: Path) -> None:
    file.with_name(FILE_NAME).write_text(
        "[settings]\nversion=1\n[display]\nus=true\nband=false\ntext_percent=125\ntheme=dark\n"
        "[files]\nrecent=/a/b 100%.toml, /c.toml\n[window]\nplace=@ByteArray(\\0)\n",
        encoding="utf-8",
    )
    settings = Settings()
    assert (settings.is_us, settings.text_percent, settings.theme) == (True, 125, "dark")
    assert settings.recent_files == ["/a/b 100%.toml", "/c.toml"]
    assert settings.window_place.isEmpty()
    settings.theme = "light"
    file.with_name(FILE_NAME).write_bytes(b"\0\xff[")
    assert Settings().theme == "light"
    file.unlink()
    strange = Settings()
    assert (strange.fault, strange.theme) == ("", "system")


def test_settings_that_can_be_kept_no_more_are_said_once(
    failing_disk: FailingDisk, qtbot: QtBot
) -> None:
    settings = Settings()
    said: list[str] = []
    settings.failed.connect(said.append)
    with failing_disk.failing(errno.ENOSPC):
        for percent in (110, 125):
            settings.text_percent = percent
        qtbot.waitUntil(lambda: bool(said))
        disk.get(lambda: None)
        QApplication.processEvents()
    assert said == ["Settings cannot be kept: the disk is full"]
    assert settings.text_percent == 125
    settings.theme = "dark"
    assert Settings().theme == "dark"


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
