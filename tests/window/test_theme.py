"""The window wears the palette that was chosen, the next time too."""

from __future__ import annotations

from collections.abc import Callable

from PySide6.QtGui import QPalette
from PySide6.QtWidgets import QApplication, QCheckBox, QLineEdit
from user import User

from app.state.settings import Settings
from app.widgets.tokens import DARK, LIGHT


def ground() -> str:
    return QApplication.palette().color(QPalette.ColorRole.Window).name()


def test_dark_and_light_are_chosen_from_the_menu(user: User) -> None:
    assert ground() == LIGHT.window
    user.choose("View", "Colours", "Dark")
    assert ground() == DARK.window
    assert user.window.palette().color(QPalette.ColorRole.Window).name() == DARK.window
    assert user.action("View", "Colours", "Dark").isChecked()
    user.choose("View", "Colours", "Light")
    assert ground() == LIGHT.window


def test_in_the_dark_what_is_typed_or_ticked_is_told_from_the_ground(user: User) -> None:
    base = QPalette.ColorRole.Base
    user.choose("View", "Colours", "Dark")
    for made in (QLineEdit(), QCheckBox()):
        made.ensurePolished()
        assert made.palette().color(base).name() == DARK.entry != DARK.window
    assert user.window.palette().color(base).name() == DARK.field
    user.choose("View", "Colours", "Light")
    line = QLineEdit()
    line.ensurePolished()
    assert line.palette().color(base).name() == LIGHT.entry


def test_the_choice_is_remembered(open_window: Callable[..., User]) -> None:
    first = open_window()
    first.choose("View", "Colours", "Dark")
    first.window.close()
    assert Settings().theme == "dark"
    again = open_window()
    assert again.action("View", "Colours", "Dark").isChecked()
    assert ground() == DARK.window
    assert not first.window.isVisible()


def test_a_window_that_closes_leaves_the_programs_own_colours(
    open_window: Callable[..., User],
) -> None:
    before = ground()
    user = open_window()
    user.choose("View", "Colours", "Dark")
    user.window.close()
    assert ground() == before


def test_digits_have_one_width(user: User) -> None:
    metrics = user.window.fontMetrics()
    assert len({metrics.horizontalAdvance(digit) for digit in "0123456789"}) == 1
