"""Drawings and tables in files: whole, or the old file stays and the reason is said."""

from __future__ import annotations

import errno
import os
from collections.abc import Callable
from pathlib import Path

import pytest
from PySide6.QtGui import QImage
from PySide6.QtSvg import QSvgRenderer
from PySide6.QtWidgets import QApplication
from pytestqt.qtbot import QtBot

from app.charts.map_canvas import MapCanvas
from app.charts.map_picture import MapPicture
from app.charts.picture_file import save_pixels
from app.charts.scale import Scale
from app.pages.day_view import DayView
from app.pages.size.export import ExportRow
from app.widgets import dialogs
from model.engine.comparison import simulate
from model.files.atomic_write import SaveError
from tests.window.day_scenes import scene

OLD = b"what stood here before"
NAME = "<b>Ridge & valley</b>"
Write = Callable[[Path], None]


@pytest.fixture
def said(monkeypatch: pytest.MonkeyPatch) -> list[str]:
    lines: list[str] = []
    monkeypatch.setattr(dialogs, "tell", lambda _parent, title, text: lines.append(text))
    return lines


@pytest.fixture
def canvas(qtbot: QtBot) -> MapCanvas:
    shown = MapCanvas(NAME)
    qtbot.addWidget(shown)
    shown.resize(320, 240)
    axes = Scale("Battery, Ah", 1.0, 100.0), Scale("Panel, W", 0.0, 50.0, in_ratios=False)
    shown.show_picture(MapPicture(*axes, (), (), (), (), NAME))
    return shown


@pytest.fixture
def day(qtbot: QtBot) -> DayView:
    view = DayView()
    qtbot.addWidget(view)
    view.resize(640, 480)
    view.show_comparison(simulate(scene()))
    return view


@pytest.fixture(params=["map.png", "map.svg", "day.png", "day.svg"])
def written(request: pytest.FixtureRequest) -> tuple[str, Write]:
    kind, ending = request.param.split(".")
    drawing = request.getfixturevalue("canvas" if kind == "map" else "day")
    return request.param, drawing.save_svg if ending == "svg" else drawing.save_png


def fill_the_disk(monkeypatch: pytest.MonkeyPatch) -> None:
    def refuse(_descriptor: int) -> None:
        raise OSError(errno.ENOSPC, os.strerror(errno.ENOSPC))

    monkeypatch.setattr(os, "fsync", refuse)


def test_a_drawing_replaces_the_old_file_whole(written: tuple[str, Write], tmp_path: Path) -> None:
    name, write = written
    path = tmp_path / name
    path.write_bytes(OLD)
    write(path)
    is_lines = name.endswith("svg")
    assert QSvgRenderer(str(path)).isValid() if is_lines else not QImage(str(path)).isNull()
    assert path.read_bytes() != OLD
    assert [file.name for file in tmp_path.iterdir()] == [name]


def test_a_full_disk_leaves_the_old_drawing(
    written: tuple[str, Write], tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    name, write = written
    path = tmp_path / name
    path.write_bytes(OLD)
    fill_the_disk(monkeypatch)
    with pytest.raises(SaveError, match=f"{name}: the disk is full"):
        write(path)
    assert path.read_bytes() == OLD
    assert [file.name for file in tmp_path.iterdir()] == [name]


def test_a_folder_that_is_none_is_said(written: tuple[str, Write], tmp_path: Path) -> None:
    name, write = written
    (tmp_path / "file").write_bytes(OLD)
    with pytest.raises(SaveError, match="there is no such folder"):
        write(tmp_path / "file" / name)
    with pytest.raises(SaveError, match="there is no such file or folder"):
        write(tmp_path / "none" / name)


def test_a_drawing_without_room_leaves_the_old_file(qapp: QApplication, tmp_path: Path) -> None:
    path = tmp_path / "map.png"
    path.write_bytes(OLD)
    with pytest.raises(SaveError, match="no room"):
        save_pixels(QImage(), path)
    assert path.read_bytes() == OLD


def test_a_name_is_text_in_a_drawing(canvas: MapCanvas, tmp_path: Path) -> None:
    canvas.save_svg(tmp_path / "map.svg")
    text = (tmp_path / "map.svg").read_text(encoding="utf-8")
    assert "&lt;b&gt;Ridge &amp; valley" in text
    assert "<b>" not in text


def test_the_table_and_the_picture_of_a_map_leave_the_old_file_and_say_why(
    qtbot: QtBot,
    canvas: MapCanvas,
    tmp_path: Path,
    said: list[str],
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    row = ExportRow("map", canvas)
    qtbot.addWidget(row)
    row.set_ready(True)
    table = (("a", "b"), [[1.5, "ü"]])
    row.table_wanted.connect(lambda path: row.write_table(path, table))
    files = [tmp_path / name for name in ("map.csv", "map.png", "map.svg")]
    for file in files:
        file.write_bytes(OLD)
    asked = iter([*files, *files])
    monkeypatch.setattr(dialogs, "ask_for_export", lambda *_: next(asked))
    buttons = (row.table_button, row.picture_button, row.picture_button)
    with monkeypatch.context() as full:
        fill_the_disk(full)
        for button in buttons:
            button.click()
    assert said == [f"{file.name}: the disk is full" for file in files]
    assert all(file.read_bytes() == OLD for file in files)
    for button in buttons:
        button.click()
    assert len(said) == 3
    assert files[0].read_bytes() == "\ufeffa,b\n1.5,ü\n".encode()
    assert all(file.read_bytes() != OLD for file in files)
