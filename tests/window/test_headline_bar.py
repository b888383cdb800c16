"""The headline bar: what it says, its offers, and what pointing and clicking do."""

from __future__ import annotations

from pathlib import Path

from PySide6.QtCore import QEvent
from PySide6.QtGui import QFocusEvent
from PySide6.QtWidgets import QApplication, QLabel
from pytestqt.qtbot import QtBot

from app.pages.day.headline_bar import HeadlineBar
from model.advice.offers import offers
from model.editing.paths import with_value
from model.engine.comparison import simulate
from model.files.scenario_file import read_scenario
from model.verdict.headline import headline

RIDGE = read_scenario(Path(__file__).parents[2] / "scenarios" / "ridge-weekend.toml")


def test_it_says_the_headline_with_its_moment_and_cause(qtbot: QtBot) -> None:
    bar = HeadlineBar()
    qtbot.addWidget(bar)
    comparison = simulate(RIDGE)
    bar.show_comparison(comparison)
    told = headline(comparison)
    assert bar.accessibleName() == told.text
    assert bar.accessibleDescription() == told.cause == bar.cause.text()
    assert f">{told.text[slice(*told.emphasis)]}</span></b>" in bar.text.text()
    assert bar.text.font().pointSizeF() > 1.5 * QLabel().font().pointSizeF()


def test_offers_are_previewed_and_applied_and_turn_grey_when_out_of_date(qtbot: QtBot) -> None:
    bar = HeadlineBar()
    qtbot.addWidget(bar)
    comparison = simulate(RIDGE)
    bar.show_comparison(comparison)
    found = offers(comparison)
    bar.resize(1600, 200)
    bar.show_offers(found)
    bar.show()
    assert [chip.isEnabled() for chip in bar.chips] == [True] * len(found)
    assert found[0].words in bar.chips[0].text()
    assert found[0].price in bar.chips[0].text()
    seen: list[object] = []
    applied: list[tuple[object, str]] = []
    bar.previewed.connect(seen.append)
    bar.applied.connect(lambda changed, text: applied.append((changed, text)))
    chip = bar.chips[0]
    for kind in (QEvent.Type.FocusIn, QEvent.Type.FocusOut):
        QApplication.sendEvent(chip, QFocusEvent(kind))
    assert seen == [found[0].changed, None]
    chip.click()
    assert applied == [(found[0].changed, found[0].words)]
    changed = with_value(RIDGE, "stations.1.radio.receive_a", 0.4)
    bar.show_comparison(simulate(changed))
    assert not any(chip.isEnabled() for chip in bar.chips)
    chip.click()
    assert len(applied) == 1


def test_a_narrow_bar_shortens_its_chips_and_keeps_the_words_in_the_tip(qtbot: QtBot) -> None:
    bar = HeadlineBar()
    qtbot.addWidget(bar)
    comparison = simulate(RIDGE)
    bar.show_comparison(comparison)
    bar.resize(360, 300)
    bar.show_offers(offers(comparison))
    bar.show()
    chip = bar.chips[0]
    assert chip.sizeHint().width() <= 360
    assert chip.text().endswith("…")
    assert "calls in 55 of 60 min missed" in chip.toolTip()
