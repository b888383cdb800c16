"""Readings at the bench and parts that no folder has taken outlive the program, kill or no kill."""

from __future__ import annotations

from pathlib import Path

import pytest
from conftest import Answers
from PySide6.QtWidgets import QApplication
from user import User

from app import window as window_module
from app.main_window import MainWindow
from app.pages.field.bench.page import BenchPage
from app.pages.library.place import own_library, own_shelf, take_parts
from app.resources import resource
from app.state.recovery.autosave import Autosave
from app.state.recovery.offer import RecoveryOffer
from app.state.recovery.slot import recovery_folder
from model.files.atomic_write import SaveError
from model.files.scenario_file import read_scenario, write_scenario

RIDGE = resource("scenarios/ridge-weekend.toml")


@pytest.fixture
def file(tmp_path: Path) -> Path:
    path = tmp_path / "kit.toml"
    write_scenario(read_scenario(RIDGE), path)
    return path


@pytest.mark.usefixtures("fusion")
def test_readings_typed_at_the_bench_are_there_at_the_next_start(
    monkeypatch: pytest.MonkeyPatch, answers: Answers, file: Path, tmp_path: Path
) -> None:
    found: list[str] = []
    typed = ["0.19", ""]

    def look(self: QApplication) -> int:
        (window,) = [each for each in self.topLevelWidgets() if isinstance(each, MainWindow)]
        view = window.lenses.open("bench").view
        assert isinstance(view, BenchPage)
        while view.forms.currentWidget() is None:
            QApplication.processEvents()
        line = next(iter(view.forms.currentWidget()._lines.values()))
        found.append(line.text())
        line.setText(typed[len(found) - 1])
        assert window.close()
        return 0

    monkeypatch.setattr(QApplication, "exec", look)
    namesake = tmp_path / "other" / file.name
    namesake.parent.mkdir()
    write_scenario(read_scenario(RIDGE), namesake)
    assert window_module.open_window([str(file)]) == 0
    assert len(list(recovery_folder().glob("*.jsonl"))) == 1
    assert window_module.open_window([str(file)]) == 0
    assert found == ["", "0.19"]
    # Cleared by then, nothing of it is left; and nobody had to be asked.
    assert list(recovery_folder().glob("*")) == []
    typed += ["7", "7"]
    assert window_module.open_window([str(file)]) == 0
    assert window_module.open_window([str(namesake)]) == 0
    assert found == ["", "0.19", "", ""]
    assert answers.said == []


def test_parts_no_folder_would_take_are_in_the_library_at_the_next_start(
    user: User, monkeypatch: pytest.MonkeyPatch, tmp_path: Path
) -> None:
    def refuse(*_: object) -> None:
        raise SaveError("radios.toml: the disk is full")

    document = user.window.document
    autosave = Autosave(document, tmp_path / "unsaved")
    shelf = own_shelf()
    shelf.keep_in(document.loose)
    gone, changed = shelf.library.of("radio")[:2]
    with monkeypatch.context() as full:
        full.setattr("app.pages.library.shelf.save", refuse)
        shelf.delete(gone)
        shelf.replace(changed, changed.model_copy(update={"mass_kg": 7.0}))
        shelf.close()
        autosave.close(keeps=False)
    before = own_library()[0]
    assert gone in before.parts
    document.loose.set_parts(())
    again = Autosave(document, tmp_path / "unsaved")
    offer = RecoveryOffer(
        user.window, document, again, user.window.foot.say, tmp_path / "unsaved", take_parts
    )
    assert not offer.ask()
    after = own_library()[0]
    assert gone not in after.parts
    assert after.find("radio", changed.name).mass_kg == 7.0
    assert len(after.parts) == len(before.parts) - 1
    again.close(keeps=False)
    user.settle()


def test_two_windows_keep_the_parts_of_both(user: User) -> None:
    one, other = own_shelf(), own_shelf()
    first, second = one.library.of("radio")[:2]
    one.replace(first, first.model_copy(update={"mass_kg": 5.0}))
    other.replace(second, second.model_copy(update={"mass_kg": 6.0}))
    one.close()
    other.close()
    QApplication.processEvents()
    held = own_library()[0]
    assert held.find("radio", first.name).mass_kg == 5.0
    assert held.find("radio", second.name).mass_kg == 6.0
    assert other.library == held
    user.settle()
