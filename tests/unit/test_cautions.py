"""Each caution stands where its hazard arises: beside the part, on the page, in the class."""

from __future__ import annotations

import io
from pathlib import Path
from typing import Any

import pypdfium2
import pytest

from app.classroom.handouts import write_handouts
from app.classroom.programme import programme_of_lesson
from app.pages.field.bench.sheet import write_sheet
from app.printing.caution_texts import caution_texts, comparison_texts
from app.printing.say import Say, Units
from model.engine.comparison import simulate
from model.export.kit_page import kit_of
from model.export.set_up import set_up
from model.files.scenario_file import read_scenario
from model.lessons.lesson_file import read_lesson
from model.scenario import cautions
from model.scenario.cautions import Caution
from model.scenario.chemistries import CHEMISTRIES
from model.scenario.part_cautions import part_cautions
from tests.plain import plain
from tests.unit.scenario_maker import BATTERY, CONTROLLER, PANEL, scenario

ROOT = Path(__file__).parents[2]
GUIDE = " ".join((ROOT / "scenarios/lessons/guide.md").read_text(encoding="utf-8").split())
LITHIUM = ("LFP", "Li-ion")

# Common practice, no source: which hazard arises at which part.
BESIDE = [
    ("antenna", cautions.POWER_LINES), ("antenna", cautions.STORM), ("antenna", cautions.EXPOSURE),
    ("amplifier", cautions.LICENCE), ("amplifier", cautions.LOW_PASS),
    ("leads", cautions.FUSE), ("battery", cautions.FUSE), ("battery", cautions.SWAP),
    ("controller", cautions.CONNECTING), ("controller", cautions.PROFILE),
    ("panel", cautions.CONNECTING), ("panel", cautions.NO_CONTROLLER), ("panel", cautions.PANELS),
    ("laptop", cautions.INVERTER), ("chargers", cautions.INVERTER),
    ("chargers", cautions.CARBON_MONOXIDE), ("chargers", cautions.ENGINE),
]  # fmt: skip


@pytest.mark.parametrize(("slot", "caution"), BESIDE)
def test_a_caution_stands_beside_its_part(slot: str, caution: Caution) -> None:
    assert caution in part_cautions(slot)


@pytest.mark.parametrize("chemistry", LITHIUM)
def test_lithium_brings_frost_short_circuit_and_sleeping_bag(chemistry: str) -> None:
    found = part_cautions("battery", chemistry)
    for caution in (
        cautions.FROST, cautions.SHORT_CIRCUIT, cautions.PROTECTION, cautions.WARMED,
        cautions.SLEEPING_BAG, cautions.HOT_VEHICLE,
    ):  # fmt: skip
        assert caution in found
    assert "interrupting rating" in cautions.SHORT_CIRCUIT.text


def test_every_chemistry_has_cautions_of_its_own() -> None:
    assert all(each.cautions for each in CHEMISTRIES.values())
    assert cautions.LEAD_ACID in part_cautions("battery", "flooded")
    nimh = plain(" ".join(cautions.texts(part_cautions("battery", "NiMH"))))
    assert all(words in nimh for words in ("shorted", "below 0 °C", "releases gas"))


def test_packs_in_parallel_bring_their_caution() -> None:
    assert cautions.PARALLEL in part_cautions("battery", "LFP", 2)
    assert cautions.PARALLEL not in part_cautions("battery", "LFP", 1)
    for words in ("same chemistry and age", "charged full", "0.1 V", "own fuse", "never join"):
        assert words in plain(cautions.PARALLEL.text)


def test_frost_is_said_in_words_that_cannot_be_misread() -> None:
    assert plain(cautions.FROST.text) == (
        "Lithium below 0 °C: unplug the panel; charging damages it for good. Wait until the pack"
        " is above 5 °C."
    )


def page(battery: dict[str, Any] | None = None, *, units: Units = "metric", **station: Any) -> str:
    """Return the cautions of a page: a lithium battery alone, but for what is given."""
    parts = {"panel": None, "controller": None, "battery": BATTERY | (battery or {})} | station
    kit = kit_of(simulate(scenario(station=parts)), 0)
    return plain(" ".join(caution_texts(kit, Say(units))))


def test_the_page_begins_with_power_lines_and_storms() -> None:
    assert page().startswith("Antenna, mast and feed line clear of power lines")
    assert "Thunder heard: touch nothing; leave mast, wire and ridge." in page()


def test_the_page_says_frost_in_its_own_units() -> None:
    assert "Lithium below 0 °C: do not charge it" in page()
    assert "below 32 °F" in page(units="us")
    assert "above 41 °F" in page(units="us")
    # A maker's limit above freezing counts, one below it does not make frost harmless.
    assert "Lithium below 5 °C" in page({"charge_min_c": 5.0})
    assert "Lithium below 0 °C" in page({"charge_min_c": -20.0})


def test_the_page_follows_the_battery() -> None:
    assert "hydrogen" in page({"chemistry": "AGM"})
    assert "Lithium" not in page({"chemistry": "AGM"})
    assert "releases gas" in page({"chemistry": "NiMH"})
    assert "within 0.1 V at rest, own fuse each" in page({"count": 2})
    assert "Swap packs, never join two." in page()
    assert "interrupting rating" in page()
    assert "In a sleeping bag: disconnected, terminals covered." in page()


def test_inverter_and_carbon_monoxide_are_on_every_page() -> None:
    assert "Inverter output is mains voltage and can kill." in page()
    assert "carbon monoxide" in page()
    charger = {"name": "generator", "current_a": 5.0, "hours": (("08:00", "09:00"),)}
    assert "A running engine raises the voltage." in page(chargers=(charger,))


def test_a_controller_is_set_to_the_chemistry() -> None:
    said = page(panel=PANEL, controller=CONTROLLER)
    assert "Controller set to the battery's chemistry." in said
    assert "do not connect" not in said


def test_nobody_is_told_to_connect_a_panel_without_a_controller() -> None:
    assert "No charge controller: do not connect the panel." in page(panel=PANEL)
    tied = scenario(station={"controller": None})
    steps = [step.text for step in set_up(tied.stations[0], tied.plan, None)]
    (about,) = [step for step in steps if "connect the panel" in step]
    assert "do not connect" in about
    joined = [step.place for step in set_up(scenario().stations[0], scenario().plan, None)]
    assert joined.index("controller") < joined.index("panel") < joined.index("loads")


def test_the_comparison_has_the_gravest() -> None:
    said = plain(" ".join(comparison_texts()))
    for words in ("power lines", "Thunder", "Lithium below 0 °C", "out of reach of the antenna"):
        assert words in said


@pytest.mark.usefixtures("qapp")
def test_the_bench_sheet_tells_of_the_discharge_test() -> None:
    stream = io.BytesIO()
    write_sheet(scenario().stations[0], stream)
    said = text_of(stream.getvalue())
    for caution in (cautions.DISCHARGE_TEST, cautions.DUMMY_LOAD, cautions.METERING):
        assert plain(caution.text) in said


@pytest.mark.usefixtures("qapp")
def test_the_class_cards_say_the_same(tmp_path: Path) -> None:
    target = tmp_path / "handouts.pdf"
    path = ROOT / "scenarios/lessons/frost.toml"
    write_handouts(programme_of_lesson("frost", path, read_lesson(path)), target)
    said = text_of(target.read_bytes())
    for caution in (
        cautions.FROST, cautions.SLEEPING_BAG, cautions.PARALLEL, cautions.NO_CONTROLLER,
        cautions.FUSE, cautions.SHORT_CIRCUIT, cautions.DISCHARGE_TEST, cautions.EXPOSURE,
    ):  # fmt: skip
        assert plain(caution.text) in said, caution


@pytest.mark.parametrize(
    "caution",
    [
        cautions.POWER_LINES, cautions.STORM, cautions.FUSE, cautions.SHORT_CIRCUIT,
        cautions.FROST, cautions.PARALLEL, cautions.SLEEPING_BAG, cautions.PROFILE,
        cautions.NO_CONTROLLER, cautions.INVERTER, cautions.DISCHARGE_TEST, cautions.NIMH,
        cautions.LEAD_ACID, cautions.LOW_PASS, cautions.EXPOSURE, cautions.CARBON_MONOXIDE,
    ],
    ids=lambda caution: caution.brief[:20],
)  # fmt: skip
def test_the_guide_of_the_class_says_the_same(caution: Caution) -> None:
    assert plain(caution.text) in GUIDE


def test_the_shipped_scenarios_show_no_brief_places() -> None:
    for path in sorted((ROOT / "scenarios").glob("*.toml")):
        comparison = simulate(read_scenario(path))
        for index in range(len(comparison.scenario.stations)):
            assert "{" not in " ".join(caution_texts(kit_of(comparison, index), Say()))


def text_of(pdf: bytes) -> str:
    document = pypdfium2.PdfDocument(pdf)
    pages = [page.get_textpage().get_text_range() for page in document]
    document.close()
    return " ".join(" ".join(pages).split())
