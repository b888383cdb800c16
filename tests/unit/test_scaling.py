"""A battery or panel of another size of the same make, and what its numbers rest on."""

from __future__ import annotations

from datetime import date

import pytest

from model.editing.resize import resized_battery, resized_panel, scaled_battery
from model.scenario.declare import Source
from tests.laws.sample_kits import question, small_kit

MEASURED = Source(origin="measured", on=date(2027, 3, 1), spread=0.02, note="at 0.2 C")
SHEET = Source(origin="datasheet")
GUESSED = Source(origin="guess", spread=0.3, note="by eye")
BATTERY = question(small_kit()).stations[0].battery.model_copy(update={
    "name": "the old one",
    "sources": (("capacity_ah", MEASURED), ("charge_efficiency", SHEET), ("mass_kg", SHEET),
                ("resistance_ohm", GUESSED), ("tested_fraction", MEASURED)),
})  # fmt: skip


def test_a_scaled_number_is_a_guess_that_tells_what_it_was_scaled_from():
    larger = resized_battery(BATTERY, 1.5)
    assert larger.capacity_ah == pytest.approx(1.5 * BATTERY.capacity_ah)
    source = larger.source_of("capacity_ah")
    assert source.origin == "guess"
    assert source.note == "scaled from another size: measured on 2027-03-01; at 0.2 C"
    assert source.spread is None
    assert source.on is None
    assert larger.source_of("mass_kg").note == "scaled from another size: datasheet"


def test_what_was_not_scaled_keeps_its_source_and_a_guess_stays_as_it_was():
    larger = resized_battery(BATTERY, 1.5)
    assert larger.source_of("charge_efficiency") == SHEET
    assert larger.source_of("tested_fraction") == MEASURED
    assert larger.source_of("resistance_ohm") == GUESSED
    again = resized_battery(larger, 0.5)
    assert again.sources == larger.sources


def test_a_resized_part_is_called_by_its_size():
    assert resized_battery(BATTERY, 1.5).name == "LFP, 30 Ah"
    panel = (
        question(small_kit())
        .stations[0]
        .panel.model_copy(update={"sources": (("rated_w", SHEET), ("vmp_v", SHEET))})
    )
    smaller = resized_panel(panel, 0.5)
    assert smaller.name == "panel, 30 W"
    assert smaller.source_of("rated_w").origin == "guess"
    assert smaller.source_of("vmp_v") == SHEET


def test_a_long_note_is_cut_to_what_a_source_may_hold():
    wordy = BATTERY.model_copy(
        update={"sources": (("capacity_ah", Source(origin="measured", note="x" * 400)),)}
    )
    assert len(resized_battery(wordy, 2.0).source_of("capacity_ah").note) == 400


def test_a_part_on_trial_keeps_its_name():
    assert scaled_battery(BATTERY, 1.5).name == BATTERY.name
