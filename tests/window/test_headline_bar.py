"""The headline bar: what it says, its offers, and what pointing and clicking do."""

from __future__ import annotations

from pathlib import Path

from PySide6.QtCore import QEvent
from PySide6.QtGui import QFocusEvent
from PySide6.QtWidgets import QApplication, QLabel
from pytestqt.qtbot import QtBot

from app.pages.day.chips import Chips
from app.pages.day.headline_bar import HeadlineBar
from app.state.display import Display
from app.state.settings import Settings
from model.advice.offers import offers
from model.editing.paths import with_value
from model.engine.comparison import simulate
from model.files.scenario_file import read_scenario
from model.verdict.headline import headline

RIDGE = read_scenario(Path(__file__).parents[2] / "scenarios" / "ridge-weekend.toml")


def test_it_says_the_headline_with_its_moment_and_cause(qtbot: QtBot) -> None:
    bar = HeadlineBar(Display(Settings()))
    qtbot.addWidget(bar)
    comparison = simulate(RIDGE)
    bar.show_comparison(comparison)
    told = headline(comparison)
    assert bar.accessibleName() == told.text
    assert bar.accessibleDescription() == told.cause == bar.cause.text()
    assert f">{told.text[slice(*told.emphasis)]}</span></b>" in bar.text.text()
    assert bar.text.font().pointSizeF() > 1.5 * QLabel().font().pointSizeF()


def test_offers_are_previewed_and_applied_and_turn_grey_when_out_of_date(qtbot: QtBot) -> None:
    bar = HeadlineBar(Display(Settings()))
    qtbot.addWidget(bar)
    comparison = simulate(RIDGE)
    bar.show_comparison(comparison)
    found = offers(comparison)
    bar.resize(1600, 200)
    bar.show()
    shown = bar.offers
    shown.show_offers(found)
    assert [chip.isEnabled() for chip in shown.chips] == [True] * len(found)
    assert shown.chips[0].text() == found[0].told
    assert not shown.more.isVisible()
    seen: list[object] = []
    applied: list[tuple[object, str]] = []
    shown.previewed.connect(seen.append)
    shown.applied.connect(lambda changed, text: applied.append((changed, text)))
    chip = shown.chips[0]
    for kind in (QEvent.Type.FocusIn, QEvent.Type.FocusOut):
        QApplication.sendEvent(chip, QFocusEvent(kind))
    assert seen == [found[0].changed, None]
    chip.click()
    assert applied == [(found[0].changed, found[0].words)]
    changed = with_value(RIDGE, "stations.1.radio.receive_a", 0.4)
    bar.show_comparison(simulate(changed))
    assert not any(chip.isEnabled() for chip in shown.chips)
    chip.click()
    assert len(applied) == 1


def test_what_two_lines_do_not_hold_is_in_a_menu(qtbot: QtBot) -> None:
    chips = Chips(Display(Settings()))
    qtbot.addWidget(chips)
    found = offers(simulate(RIDGE))
    chips.resize(320, 80)
    chips.show_offers(found)
    chips.show()
    seen = [chip for chip in chips.chips if chip.isVisible()]
    entries = [action.text() for action in chips.menu.actions()]
    assert len(seen) + len(entries) == len(found)
    assert len({chip.y() for chip in seen}) <= 2
    assert [offer.told in entry for offer, entry in zip(found[len(seen) :], entries, strict=True)]
    chips.keep_short(True)
    assert not any(chip.isVisible() for chip in chips.chips)
    assert chips.more.text() == f"Fix and what if ({len(found)})"
    seen_changes: list[object] = []
    chips.previewed.connect(seen_changes.append)
    first = chips.menu.actions()[0]
    chips.menu.hovered.emit(first)
    assert seen_changes == [found[0].changed]
    done: list[str] = []
    chips.applied.connect(lambda _changed, text: done.append(text))
    first.trigger()
    assert done == [found[0].words]


def test_a_narrow_bar_shortens_its_chips_and_keeps_the_words_in_the_tip(qtbot: QtBot) -> None:
    chips = Chips(Display(Settings()))
    qtbot.addWidget(chips)
    chips.resize(300, 80)
    chips.show_offers(offers(simulate(RIDGE)))
    chips.show()
    chip = chips.chips[0]
    assert chip.geometry().right() <= 300
    assert chip.text().endswith("…")
    assert "calls in 55 of 60 min missed" in chip.toolTip()


def test_a_preview_ends_when_the_offers_are_out_of_date(qtbot: QtBot) -> None:
    """What turns grey passes the keyboard on: the next chip must not preview what is old."""
    chips = Chips(Display(Settings()))
    qtbot.addWidget(chips)
    chips.resize(1600, 80)
    chips.show_offers(offers(simulate(RIDGE)))
    with qtbot.waitExposed(chips):
        chips.show()
    chips.activateWindow()
    chips.chips[0].setFocus()
    seen: list[object] = []
    chips.previewed.connect(seen.append)
    QApplication.sendEvent(chips.chips[0], QFocusEvent(QEvent.Type.FocusIn))
    assert seen[-1] is not None
    chips.show_outdated()
    assert seen[-1] is None
    for chip in chips.chips:
        QApplication.sendEvent(chip, QFocusEvent(QEvent.Type.FocusIn))
    assert seen[-1] is None
