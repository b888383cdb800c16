"""Variants as a person keeps, compares, takes over, renames and deletes them."""

from __future__ import annotations

from collections.abc import Callable, Iterator

import pytest
from beside import fill, follow, opened, press, scenario_of, words_on
from PySide6.QtGui import QGuiApplication
from pytestqt.qtbot import QtBot
from user import User

from app.pages.lens import Lens
from app.pages.size.variants_part import VariantsPart
from app.pages.size.view import SizingView
from app.state.display import Display
from app.state.settings import Settings
from model.editing.faults import ScenarioError
from model.editing.paths import with_moved, with_value
from model.editing.variants import as_variant, variant_of, without_variants
from model.engine.comparison import simulate
from model.files.scenario_file import dump_scenario, parse_scenario
from model.scenario.scenario import Scenario
from tests.laws.sample_kits import one_box, question, small_kit
from tests.plain import plain
from tests.window.sizing_sheets import LEVERS, VARIANTS, click, look_at

AH = "stations.0.battery.capacity_ah"


def two_versions() -> Scenario:
    pair = question(small_kit(), one_box())
    return as_variant(pair, with_value(pair, AH, 2.0), "small battery", "half the mass")


@pytest.fixture
def view(qtbot: QtBot, fusion: None) -> Iterator[SizingView]:
    shown = SizingView(Display(Settings()))
    qtbot.addWidget(shown)
    shown.resize(1280, 800)
    shown.show()
    yield shown
    shown.stop()


def row_of(part: VariantsPart, words: str) -> int:
    rows = range(part.table.model().rowCount())
    return next(row for row in rows if part.table.model().index(row, 0).data() == words)


def cells(part: VariantsPart, row: int) -> list[str]:
    return [
        part.table.model().index(row, column).data()
        for column in range(part.table.model().columnCount())
    ]


def test_versions_stand_side_by_side_with_their_differences(view: SizingView, qtbot: QtBot) -> None:
    scenario = two_versions()
    part = look_at(view, qtbot, VARIANTS, scenario)
    assert part.table.model().rowCount() == 4
    row = row_of(part, "small battery")
    made = simulate(variant_of(scenario, "small battery")).runs[0]
    assert made is not None
    told = cells(part, row)
    assert plain(told[3]) == f"{round(made.lowest.value * 100)} %"
    assert told[6].startswith("−")
    part.table.choose(row)
    assert "small battery: half the mass" in part.changes.text()
    assert "station A, battery, rated capacity: 20 Ah → 2 Ah" in plain(part.changes.text())
    click(part, "Copy table")
    copied = QGuiApplication.clipboard().text().splitlines()
    assert copied[0].startswith("version,station,first_end,why,")
    assert len(copied) == 5


def test_a_row_of_the_scenario_itself_offers_nothing(view: SizingView, qtbot: QtBot) -> None:
    part = look_at(view, qtbot, VARIANTS, two_versions())
    part.table.choose(0)
    assert not any(b.isEnabled() for b in (part.take, part.delete, part.rename, part.keep))


def test_a_variant_that_does_not_fit_says_so_in_its_row(view: SizingView, qtbot: QtBot) -> None:
    pair = question(small_kit(), one_box())
    held = as_variant(pair, with_value(pair, "stations.0.panel.rated_w", 40.0), "small panel")
    part = look_at(view, qtbot, VARIANTS, with_value(held, "stations.0.panel", None))
    row = row_of(part, "small panel")
    assert cells(part, row)[2] == "cannot be made: station 1 has no panel"
    part.table.choose(row)
    with qtbot.waitSignal(view.edit_requested) as edit:
        click(part, "Delete")
    assert edit.args[1].variants == ()


def test_sheets_without_variants_leave_them_as_they_are(view: SizingView, qtbot: QtBot) -> None:
    scenario = two_versions()
    view.show_comparison(simulate(scenario))
    changed = without_variants(with_value(scenario, "title", "Other"))
    with qtbot.waitSignal(view.edit_requested) as edit:
        view.terms.edit_requested.emit("change", changed)
    assert edit.args[1].variants == scenario.variants
    # They have nothing new to work out when variants alone have changed.
    view.terms.show_scenario(without_variants(scenario))
    assert view.sizes.scenario == without_variants(scenario)


def test_a_moved_input_becomes_a_variant_by_one_click(view: SizingView, qtbot: QtBot) -> None:
    pair = question(small_kit(), one_box())
    part = look_at(view, qtbot, LEVERS, pair)
    part.hand.slider.setValue(20)
    with qtbot.waitSignal(view.edit_requested) as edit:
        click(part, "Keep as a variant")
    held = edit.args[1]
    [variant] = held.variants
    assert without_variants(held) == pair
    assert variant.changes
    assert variant.name in part.bar.says.text()
    view.show_comparison(simulate(held))
    part.hand.slider.setValue(20)
    with qtbot.waitSignal(view.edit_requested) as edit:
        click(part, "Keep as a variant")
    assert [each.name for each in edit.args[1].variants][1] == f"{variant.name} (2)"


def sheet_of(user: User) -> tuple[Lens, VariantsPart]:
    window = opened(user, "sizing")
    view = window.view.sizing  # type: ignore[attr-defined]
    view.look_at_variants()
    settled(user, window)
    return window, view.variants


def settled(user: User, window: Lens) -> None:
    follow(user, window)
    view = window.view.sizing  # type: ignore[attr-defined]
    user.wait_for(lambda: view.is_settled)
    user.let_appear()


def test_changes_are_kept_as_a_variant_and_taken_over_and_deleted(
    open_window: Callable[..., User],
) -> None:
    before = question(small_kit(), one_box())
    user = open_window(before)
    window, part = sheet_of(user)
    assert not part.keep.isEnabled()
    user.window.document.edit(AH, 10.0)
    settled(user, window)
    assert "station A, battery, rated capacity" in words_on(window)
    fill(window, "name of the variant", "half")
    press(window, "Keep as a variant")
    settled(user, window)
    held = scenario_of(user)
    assert without_variants(held) == before
    assert parse_scenario(dump_scenario(held).encode()) == held
    part.table.choose(row_of(part, "half"))
    press(window, "Apply")
    settled(user, window)
    assert scenario_of(user).stations[0].battery.capacity_ah == 10.0
    assert scenario_of(user).variants == held.variants
    user.window.document.undo_stack.undo()
    assert scenario_of(user) == held
    settled(user, window)
    part.table.choose(row_of(part, "half"))
    fill(window, "name of the variant", "a lighter one")
    press(window, "Rename")
    settled(user, window)
    assert [variant.name for variant in scenario_of(user).variants] == ["a lighter one"]
    part.table.choose(row_of(part, "a lighter one"))
    press(window, "Delete")
    assert scenario_of(user) == before


def test_variants_follow_a_station_that_is_moved(open_window: Callable[..., User]) -> None:
    user = open_window(two_versions())
    document = user.window.document
    document.replace("moving", with_moved(document.scenario, "stations.0", 1))
    assert scenario_of(user).variants[0].changes == (("stations.1.battery.capacity_ah", 2.0),)
    document.undo_stack.undo()
    assert scenario_of(user).variants[0].changes == ((AH, 2.0),)


def test_what_cannot_be_said_as_a_variant_is_told(open_window: Callable[..., User]) -> None:
    before = question(small_kit(), one_box())
    user = open_window(before)
    window, _ = sheet_of(user)
    more = with_value(before, "stations", (*before.stations, before.stations[0]))
    with pytest.raises(ScenarioError):
        as_variant(before, more, "three")
    user.window.document.replace("another station", more)
    settled(user, window)
    fill(window, "name of the variant", "three")
    press(window, "Keep as a variant")
    assert "the list is longer or shorter" in words_on(window)
    assert scenario_of(user) == more


def test_a_finding_at_a_variant_leads_to_its_sheet(open_window: Callable[..., User]) -> None:
    user = open_window(two_versions())
    user.window.ways.jump_to("variants.0")
    window = user.window.lenses.made["sizing"]
    assert window.view.sizing.variants.isVisible()  # type: ignore[attr-defined]
    settled(user, window)
