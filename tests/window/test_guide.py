"""The guide: every key and command it names is there, and each lens has its chapter."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator

import pytest
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QMenu
from user import User

from app.cli.parser import parser
from app.pages.help import chapters as chapters_module
from app.pages.help.chapters import ABOUT, CAUTIONS, KEYS, LENS_CHAPTERS, MISSING, Chapter, chapters
from app.pages.help.window import GuideWindow
from app.pages.lenses import PLACES
from app.widgets.actions import COMMANDS
from model.scenario.cautions import FROST, PREDICTION, STORM
from model.support.version import VERSION
from tests.plain import plain

KEY = re.compile(r"`((?:(?:Ctrl|Shift|Alt)\+)+\S+|F\d+)`")
COMMAND = re.compile(r"\*\*([^*]+ > [^*]+)\*\*")
CALL = re.compile(r"`counterpoise ([a-z]+)")
OPTION = re.compile(r"`(--[a-z]+)")


@pytest.fixture(scope="module")
def found() -> tuple[Chapter, ...]:
    return chapters()


def whole(found: tuple[Chapter, ...]) -> str:
    # A line may end in the middle of what is marked.
    return " ".join("\n".join(chapter.text for chapter in found).split())


def named(menu: QMenu, before: str) -> Iterator[str]:
    for action in menu.actions():
        title = f"{before} > {action.text().replace('&', '').rstrip('…')}"
        yield title
        if isinstance(action.menu(), QMenu):
            yield from named(action.menu(), title)


def test_every_key_in_the_guide_is_a_shortcut(found: tuple[Chapter, ...]) -> None:
    used = set(KEY.findall(whole(found)))
    assert len(used) > 6
    assert used <= {command.shortcut for command in COMMANDS}


def test_every_command_in_the_guide_stands_in_a_menu(
    user: User, found: tuple[Chapter, ...]
) -> None:
    used = set(COMMAND.findall(whole(found)))
    assert len(used) > 6
    there = {
        name
        for action in user.window.top.menus.actions()
        if isinstance(action.menu(), QMenu)
        for name in named(action.menu(), action.text().replace("&", ""))
    }
    assert used <= there


def test_every_call_in_the_guide_is_known_to_the_command_line(found: tuple[Chapter, ...]) -> None:
    help_of_all = parser().format_help()
    calls = set(CALL.findall(whole(found)))
    assert len(calls) > 3
    assert {call for call in calls if not re.search(rf"\b{call}\b", help_of_all)} == set()


def test_each_lens_has_a_chapter(found: tuple[Chapter, ...]) -> None:
    assert set(LENS_CHAPTERS) == {kind.key for kind in PLACES}
    titles = [chapter.title for chapter in found]
    assert set(LENS_CHAPTERS.values()) <= set(titles)
    assert "Reading the day" in titles
    assert len(set(titles)) == len(titles)
    assert all(chapter.text for chapter in found)


def test_keys_cautions_and_version_come_from_the_program(found: tuple[Chapter, ...]) -> None:
    texts = {chapter.title: chapter.text for chapter in found}
    missing = [each for each in COMMANDS if f"| {each.shortcut} |" not in texts[KEYS]]
    assert missing == []
    assert "cursor by one minute" in texts[KEYS]
    assert all(each.text in texts[CAUTIONS] for each in (STORM, FROST))
    assert VERSION in texts[ABOUT]
    assert PREDICTION in texts[ABOUT]


def guide_of(user: User) -> GuideWindow:
    guide = user.window.help.guide
    assert guide is not None
    assert guide.isVisible()
    return guide


def test_the_guide_opens_where_one_is_and_is_searched(user: User) -> None:
    user.choose("Help", "Guide")
    guide = guide_of(user)
    assert guide.titles()[0] == "What Counterpoise is"
    assert "compare" in guide.page.toPlainText() or "side by side" in guide.page.toPlainText()
    user.choose("Help", "Keys")
    assert guide_of(user) is guide
    assert "Ctrl+Shift+S" in guide.page.toPlainText()
    user.choose("Help", "About")
    assert VERSION in guide.page.toPlainText()
    QTest.keyClicks(guide.search, "LOCATOR maidenhead")
    assert guide.titles() == ["Place, sky and climate"]
    assert "Maidenhead" in guide.page.toPlainText()
    QTest.keyClicks(guide.search, " xyzzy")
    assert guide.titles() == []
    assert "No chapter" in guide.page.toPlainText()
    guide.search.clear()
    assert len(guide.titles()) == len(chapters())
    size = guide.size()
    QTest.keyClick(guide, Qt.Key.Key_Escape)
    user.let_appear()
    assert user.window.help.guide is None
    user.choose("Go", "Wiring")
    user.choose("Help", "Guide")
    again = guide_of(user)
    assert again.size() == size
    assert again.page.toPlainText().startswith("Wiring")
    user.window.close()
    assert user.window.help.guide is None


def test_the_cautions_of_the_guide_follow_the_units(user: User) -> None:
    user.choose("Help", "Guide")
    guide = guide_of(user)
    QTest.keyClicks(guide.search, "storm")
    guide.headings.setCurrentRow(guide.titles().index(CAUTIONS))
    assert "below 0 °C" in plain(guide.page.toPlainText())
    user.window.display.set_us(True)
    # The chapter that is read stays; water freezes at 32 °F, and 5 °C are 41 °F.
    said = plain(guide.page.toPlainText())
    assert said.startswith(CAUTIONS)
    assert "below 32 °F" in said
    assert "above 41 °F" in said
    assert "°C" not in said
    assert guide.search.text() == "storm"


def test_without_its_file_the_guide_still_has_keys_and_cautions(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    def nothing(_name: str) -> Callable[[], str]:
        raise FileNotFoundError

    monkeypatch.setattr(chapters_module, "resource", nothing)
    found = chapters()
    assert found[0].text == MISSING
    assert [chapter.title for chapter in found[1:]] == [CAUTIONS, KEYS, ABOUT]
