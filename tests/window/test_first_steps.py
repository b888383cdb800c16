"""What a first start offers: one line over the day, gone for good once it is used or closed."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

import pytest
from conftest import Answers
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication, QLineEdit, QMenu
from user import User

from app import window as window_module
from app.first_steps import SHOWN, FirstSteps, offer_first_steps
from app.main_window import MainWindow
from app.resources import resource
from app.state.settings import Settings
from app.widgets.dialogs import Answer

RIDGE = resource("scenarios/ridge-weekend.toml")


def offered(user: User) -> FirstSteps:
    steps = offer_first_steps(user.window, user.window.settings)
    assert steps is not None
    user.let_appear()
    return steps


def is_over(user: User) -> bool:
    again = offer_first_steps(user.window, Settings())
    return not user.sees(SHOWN) and Settings().first_steps_over and again is None


def test_the_line_leaves_the_keyboard_where_it_is_and_its_cross_is_for_good(user: User) -> None:
    focused = user.window.focusWidget()
    steps = offered(user)
    assert user.sees(SHOWN)
    assert user.window.focusWidget() is focused
    assert steps.height() < 2 * steps.new.sizeHint().height()
    user.click("Close this line for good")
    assert is_over(user)


def test_new_for_my_place_asks_for_the_locator(user: User, answers: Answers) -> None:
    offered(user)
    user.fill("station 1, reserve", "33")
    answers.unsaved = Answer.CANCEL
    user.click("New for my place")
    assert user.sees(SHOWN)
    answers.unsaved = Answer.DISCARD
    user.click("New for my place")
    assert user.window.document.scenario.title == "New scenario"
    focused = user.window.focusWidget()
    assert focused is not None
    assert focused.accessibleName() == "site, locator"
    assert isinstance(focused, QLineEdit)
    QTest.keyClicks(focused, "IO85fw")
    assert user.window.document.scenario.site.latitude_deg == pytest.approx(55.9375)
    assert is_over(user)


def test_the_guide_and_the_examples_are_used_from_the_line(
    user: User, open_window: Callable[..., User]
) -> None:
    steps = offered(user)
    menu = steps.examples.menu()
    assert isinstance(menu, QMenu)
    menu.aboutToShow.emit()
    user.choose_from(menu, "Midwinter relay post in the far north")
    assert user.window.document.scenario.title.startswith("Midwinter")
    assert is_over(user)
    Settings().first_steps_over = False
    again = open_window()
    offered(again)
    again.click("Guide")
    assert again.window.help.guide is not None
    assert is_over(again)


def test_it_goes_when_another_file_is_opened(user: User) -> None:
    offered(user)
    user.window.files.open_path(RIDGE)
    user.settle()
    assert not user.sees(SHOWN)


@pytest.mark.parametrize(
    ("paths", "is_safe", "wanted"), [([], False, True), ([], True, False), ([RIDGE], False, False)]
)
@pytest.mark.usefixtures("fusion")
def test_only_a_first_start_offers_it(
    paths: list[Path], is_safe: bool, wanted: bool, monkeypatch: pytest.MonkeyPatch
) -> None:
    seen: list[FirstSteps] = []

    def look(self: QApplication) -> int:
        (window,) = [each for each in self.topLevelWidgets() if isinstance(each, MainWindow)]
        seen.extend(window.findChildren(FirstSteps))
        assert window.close()
        return 0

    monkeypatch.setattr(QApplication, "exec", look)
    assert window_module.open_window([str(path) for path in paths], is_safe=is_safe) == 0
    assert bool(seen) is wanted
