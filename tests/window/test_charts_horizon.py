"""The horizon drawn by hand and by key."""

from __future__ import annotations

import numpy as np
import pytest
from PySide6.QtCore import QPoint, Qt
from pytestqt.qtbot import QtBot

from app.charts.horizon import HorizonSketch
from model.editing.edit_horizon import with_height
from model.scenario.scenario import HORIZON_LIMIT
from model.sky.horizon import HorizonPoints, horizon_height_deg
from model.sky.irradiance import sun_position
from tests.plain import plain
from tests.window.day_scenes import scene

RIDGE = ((60.0, 12.0), (120.0, 25.0), (150.0, 5.0), (300.0, 8.0))
NO = Qt.KeyboardModifier.NoModifier


@pytest.fixture
def sketch(qtbot: QtBot) -> HorizonSketch:
    sketch = HorizonSketch()
    qtbot.addWidget(sketch)
    sketch.resize(500, 200)
    sketch.show()
    return sketch


def height(points: HorizonPoints, bearing: float) -> float:
    return float(horizon_height_deg(points, np.array([bearing]))[0])


def place(sketch: HorizonSketch, bearing: float, height_deg: float) -> QPoint:
    return QPoint(round(sketch.x_of(bearing)), round(sketch.y_of(height_deg)))


def test_a_change_at_one_bearing_leaves_the_rest_of_the_ridge() -> None:
    changed = with_height(RIDGE, 210.0, 18.0)
    bearings = np.arange(0.0, 360.0, 1.0)
    far = np.abs(bearings - 210.0) >= 5.0
    before, after = (horizon_height_deg(points, bearings) for points in (RIDGE, changed))
    assert np.allclose(before[far], after[far])
    assert height(changed, 210.0) == 18.0


def test_a_change_at_north_reaches_over_the_seam() -> None:
    changed = with_height((), 0.0, 10.0)
    assert [height(changed, bearing) for bearing in (355.0, 357.5, 0.0, 2.5, 5.0)] == [
        0.0, 5.0, 10.0, 5.0, 0.0,
    ]  # fmt: skip


def test_a_ridge_made_level_again_has_no_points() -> None:
    assert with_height(with_height((), 90.0, 10.0), 90.0, 0.0) == ()


def test_a_full_horizon_takes_no_more_points() -> None:
    # All points but two stand close together, so that a change elsewhere must add three.
    crowded = tuple((100.0 + n / 4, float(n % 2)) for n in range(HORIZON_LIMIT - 1))
    with pytest.raises(ValueError, match="at most 360 points"):
        with_height((*crowded, (300.0, 4.0)), 20.0, 30.0)


def test_dragging_draws_the_ridge(sketch: HorizonSketch, qtbot: QtBot) -> None:
    sketch.show_horizon(RIDGE)
    heard: list[HorizonPoints] = []
    sketch.horizon_changed.connect(heard.append)
    qtbot.mousePress(sketch, Qt.MouseButton.LeftButton, pos=place(sketch, 200, 10))
    qtbot.mouseMove(sketch, place(sketch, 220, 20))
    qtbot.mouseMove(sketch, place(sketch, 240, 20))
    qtbot.mouseRelease(sketch, Qt.MouseButton.LeftButton, pos=place(sketch, 240, 20))
    drawn = heard[-1]
    for bearing, wanted in ((200, 10), (210, 15), (220, 20), (230, 20), (240, 20)):
        assert height(drawn, bearing) == pytest.approx(wanted, abs=1.5)
    assert height(drawn, 90) == height(RIDGE, 90)
    assert all(bearing % 5 == 0 for bearing, _ in drawn)


def test_the_keys_choose_a_bearing_and_change_its_height(
    sketch: HorizonSketch, qtbot: QtBot
) -> None:
    heard: list[HorizonPoints] = []
    sketch.horizon_changed.connect(heard.append)
    sketch.show_horizon(())
    qtbot.keyClick(sketch, Qt.Key.Key_Right)
    assert sketch.bearing_deg == 185
    assert heard == []
    qtbot.keyClick(sketch, Qt.Key.Key_PageUp)
    qtbot.keyClick(sketch, Qt.Key.Key_Up)
    assert height(heard[-1], 185) == 6
    assert "Bearing 185 degrees, S: height 6 degrees" in sketch.accessibleDescription()
    qtbot.keyClick(sketch, Qt.Key.Key_Delete)
    assert heard[-1] == ()


def test_the_words_say_how_long_the_ridge_hides_the_sun(sketch: HorizonSketch) -> None:
    asked = scene(day={"days": 1})
    path = sun_position(asked.site, asked.day)
    sketch.show_paths((path,))
    assert "hides the sun for 0 %" in plain(sketch.accessibleDescription())
    sketch.show_horizon(((0.0, 90.0),))
    assert "hides the sun for 100 %" in plain(sketch.accessibleDescription())


@pytest.mark.parametrize(("latitude_deg", "middle"), [(45.0, 180.0), (-45.0, 0.0)])
def test_the_noon_sun_stands_in_the_middle(
    sketch: HorizonSketch, latitude_deg: float, middle: float
) -> None:
    asked = scene(site={"latitude_deg": latitude_deg}, day={"days": 1})
    sketch.show_paths((sun_position(asked.site, asked.day),))
    east, west = sketch.x_of(middle - 90), sketch.x_of(middle + 90)
    assert sketch.x_of(middle) == pytest.approx((east + west) / 2)
    assert not sketch.grab().isNull()


def test_an_edge_that_stands_upright_is_drawn_so(sketch: HorizonSketch) -> None:
    sketch.show_horizon(((0.0, 0.0), (180.0, 0.0), (180.0, 25.0), (220.0, 25.0), (220.0, 0.0)))
    image = sketch.grab().toImage()

    def colours_at(bearing: float) -> set[int]:
        x, y = round(sketch.x_of(bearing)), round(sketch.y_of(12.0))
        return {image.pixel(x + dx, y + dy) for dx in range(-2, 3) for dy in range(-2, 3)}

    assert len(colours_at(170.0)) == len(colours_at(230.0)) == 1
    assert len(colours_at(190.0)) > 1
