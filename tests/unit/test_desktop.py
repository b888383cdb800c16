"""The program in the menu of a desktop, put there and taken away."""

from __future__ import annotations

import configparser
import subprocess
import sys
from pathlib import Path
from xml.etree import ElementTree as ET

import pytest
from PySide6.QtCore import QByteArray
from PySide6.QtSvg import QSvgRenderer

from app.__main__ import main
from app.cli import desktop
from app.resources import resource


@pytest.fixture
def home(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    monkeypatch.setattr(sys, "platform", "linux")
    monkeypatch.setenv("XDG_DATA_HOME", str(tmp_path / "data"))
    monkeypatch.setattr(desktop.shutil, "which", lambda _tool: None)
    return tmp_path / "data"


def files_in(folder: Path) -> set[str]:
    return {path.relative_to(folder).as_posix() for path in folder.rglob("*") if path.is_file()}


def test_what_is_installed_can_be_taken_away(
    home: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    other = home / "applications" / "other.desktop"
    other.parent.mkdir(parents=True)
    other.write_text("kept")
    assert main(["--install-desktop"]) == 0
    assert main(["--install-desktop"]) == 0
    assert files_in(home) == {"applications/other.desktop", desktop.ENTRY, *desktop.COPIED}
    assert main(["--remove-desktop"]) == 0
    assert files_in(home) == {"applications/other.desktop"}
    assert main(["--remove-desktop"]) == 0
    assert capsys.readouterr().out.endswith("there was nothing to remove\n")


def test_the_entry_starts_this_program_from_any_folder(
    home: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    start = tmp_path / 'a "b" $HOME 100%' / "start"
    start.parent.mkdir()
    start.write_text('printf %s "$0$1"')
    monkeypatch.setenv(desktop.START, str(start))
    assert main(["--install-desktop"]) == 0
    parser = configparser.RawConfigParser()
    parser.optionxform = str
    parser.read(home / desktop.ENTRY)
    entry = dict(parser["Desktop Entry"])
    # Desktop Entry Specification: the value is unescaped, then its words as a shell would do.
    line = entry["Exec"].replace("\\\\", "\\")
    split = ["sh", "-c", f"printf '%s\\n' {line}"]
    exec_words = subprocess.run(split, capture_output=True, text=True, check=True).stdout.split(
        "\n"
    )
    assert exec_words.pop() == ""
    assert exec_words.pop() == "%f"
    words = [word.replace("%%", "%") for word in exec_words]
    assert words == ["sh", str(start)]
    ran = subprocess.run([*words, "!"], cwd="/", capture_output=True, text=True, check=True)
    assert ran.stdout == f"{start}!"
    assert (entry["Type"], entry["Icon"]) == ("Application", "counterpoise")


def test_the_type_of_file_is_one_and_the_entry_names_it(home: Path) -> None:
    assert main(["--install-desktop"]) == 0
    tree = ET.parse(home / "mime/packages/counterpoise.xml")
    name = "{http://www.freedesktop.org/standards/shared-mime-info}"
    (kind,) = tree.getroot().iter(f"{name}mime-type")
    assert f"MimeType={kind.get('type')};\n" in (home / desktop.ENTRY).read_text()
    (glob,) = kind.iter(f"{name}glob")
    # A plain .toml belongs to everybody.
    assert glob.get("pattern") == "*.counterpoise.toml"
    outer, inner = kind.iter(f"{name}match")
    for path in resource("scenarios").glob("*.toml"):
        text = path.read_text()
        assert outer.get("value") in text[: 512 + 9]
        assert inner.get("value") in text


@pytest.mark.usefixtures("qapp")
def test_the_icon_can_be_drawn() -> None:
    data = resource("assets/icons/counterpoise.svg").read_bytes()
    assert QSvgRenderer(QByteArray(data)).isValid()


def test_elsewhere_it_is_refused_in_one_line(
    home: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.setattr(sys, "platform", "win32")
    assert main(["--install-desktop"]) == 1
    assert main(["--remove-desktop"]) == 1
    assert len(capsys.readouterr().err.splitlines()) == 2
    assert not home.exists()


def test_a_folder_that_cannot_be_made_is_said(
    home: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    home.write_text("a file")
    assert main(["--install-desktop"]) == 1
    (line,) = capsys.readouterr().err.splitlines()
    assert "cannot be written" in line
