"""Two windows of the program, seen from outside: each in a process of its own, in one home."""

from __future__ import annotations

import signal
import time
from collections.abc import Iterator
from pathlib import Path

import pytest
from other_window import OtherWindow

from app.pages.library.place import own_library
from app.resources import resource
from app.state.watch import CHANGED, ELSEWHERE
from model.files.scenario_file import read_scenario, write_scenario

RIDGE = resource("scenarios/ridge-weekend.toml")
RADIOS = 'window.views.open_library().view.shelf.library.of("radio")'
SHELF = "window.views.open_library().view.shelf"


@pytest.fixture
def kit(tmp_path: Path) -> Path:
    path = tmp_path / "kit.toml"
    write_scenario(read_scenario(RIDGE), path)
    return path


@pytest.fixture
def one(kit: Path) -> Iterator[OtherWindow]:
    with OtherWindow(kit) as window:
        yield window


@pytest.fixture
def other(one: OtherWindow) -> Iterator[OtherWindow]:
    assert one is not None
    with OtherWindow() as window:
        yield window


def opens(kit: Path) -> str:
    return f'window.files.open_path(__import__("pathlib").Path({str(kit)!r}))'


def change_parts(one: OtherWindow, other: OtherWindow) -> list[str]:
    """Change a radio of the library in each of two windows, delete another in one; their names."""
    names: list[str] = one.ask(f"[each.name for each in {RADIOS}]")
    assert other.ask(f"[each.name for each in {RADIOS}]") == names
    for window, row, mass_kg in ((one, 0, 5.0), (other, 1, 6.0)):
        lighter = f'{RADIOS}[{row}].model_copy(update={{"mass_kg": {mass_kg}}})'
        assert window.ask(f"{SHELF}.replace({RADIOS}[{row}], {lighter})") == ""
    assert other.ask(f"{SHELF}.delete({RADIOS}[2])") is None
    return names


def test_each_window_hears_what_the_other_does_with_its_file_and_both_change_the_library(
    one: OtherWindow, other: OtherWindow, kit: Path
) -> None:
    assert one.ask("str(window.document.path)") == str(kit)
    # Opened by the last file remembered, or by hand: said at once either way.
    assert other.ask(opens(kit)) is True
    other.wait_for_message(ELSEWHERE.format("kit.toml"))
    assert one.ask('window.document.edit("title", "mine") or window.files.save()') is True
    other.wait_for_message(CHANGED.format("kit.toml"))
    # Saving asks, and without an answer the file stays.
    assert other.ask('window.document.edit("title", "theirs") or window.files.save()') is False
    assert other.ask("said[-1]") == "kit.toml has changed on disk"
    assert read_scenario(kit).title == "mine"
    assert other.ask("answers.update(choice=0) or window.files.save()") is True
    assert read_scenario(kit).title == "theirs"
    one.wait_for_message(CHANGED.format("kit.toml"))
    # What is replaced knowingly is among the earlier versions.
    assert other.ask("len(window.files.versions(window.document.path))") == 2
    names = change_parts(one, other)
    # A window that goes lets go of its file.
    one.close()
    assert other.ask("window.files.new()") is None
    assert other.ask('window.foot.say("") or ' + opens(kit)) is True
    assert other.ask("window.foot.message") == ""
    other.close()
    held = own_library()[0]
    assert held.find("radio", names[0]).mass_kg == 5.0
    assert held.find("radio", names[1]).mass_kg == 6.0
    assert names[2] not in [each.name for each in held.of("radio")]
    assert len(held.of("radio")) == len(names) - 1


def test_after_a_kill_the_undo_steps_are_there_and_only_of_the_window_that_is_gone(
    one: OtherWindow, other: OtherWindow, kit: Path
) -> None:
    assert other.ask('window.document.edit("title", "alive")') == []
    for value in (0.31, 0.32, 0.33):
        step = f'window.document.edit("stations.0.reserve_fraction", {value}, "step {value}")'
        assert one.ask(f"{step} or window.document.end_burst()") is None
    assert one.ask("window.document.undo_stack.undo()") is None
    # At most two seconds are lost to a kill.
    time.sleep(2.0)
    assert one.end(signal.SIGKILL) == -signal.SIGKILL
    with OtherWindow(kit) as after:
        (offered,) = after.ask("said[0]")
        assert "kit.toml in" in offered
        assert "alive" not in offered
        assert after.ask("answers.update(list=(0, [0])) or window.files.recover()") is None
        assert after.ask("str(window.document.path)") == str(kit)
        reserve = "window.document.scenario.stations[0].reserve_fraction"
        assert after.ask(reserve) == 0.32
        assert after.ask("window.document.undo_stack.redoText()") == "step 0.33"
        undo = "window.document.undo_stack.undo()"
        assert (
            after.ask(f"{undo} or {undo} or {reserve}")
            == read_scenario(kit).stations[0].reserve_fraction
        )
        assert after.ask("window.document.is_clean") is True
        redo = "window.document.undo_stack.redo()"
        assert after.ask(f"{redo} or {redo} or {redo} or {reserve}") == 0.33
        after.close()
    other.close()


def test_the_end_of_a_desktop_session_loses_nothing_typed(one: OtherWindow, kit: Path) -> None:
    session_ends = (
        '__import__("PySide6.QtCore").QtCore.SIGNAL("commitDataRequest(QSessionManager&)")'
    )
    assert one.ask(f"application.receivers({session_ends})") == 1
    # Typed, and the session ends in the same turn: what ends it does not wait for a quiet moment.
    typed = 'window.document.edit("title", "last words")'
    assert one.ask(f"{typed} or ending._on_session_end(None)") is None
    assert one.end(signal.SIGKILL) == -signal.SIGKILL
    with OtherWindow(kit) as after:
        assert after.ask("answers.update(list=(0, [0])) or window.files.recover()") is None
        assert after.ask("window.document.scenario.title") == "last words"
        after.close()
