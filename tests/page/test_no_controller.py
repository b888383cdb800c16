"""A panel without a charge controller is never said to be connected to a battery, or told to be.

Kits with such a panel are made, and whatever the program says of them is read sentence by sentence:
headline, verdict, advice, offers, findings, cautions, wiring, printed pages, what the commands
print and write. What ships as prose (README, guide, lessons, library, sources) is read too.
"""

from __future__ import annotations

import json
import re
from collections.abc import Iterable, Iterator
from pathlib import Path
from typing import Any

import pytest
import tomli_w
from pytestqt.qtbot import QtBot

from app.__main__ import main
from app.pages.wiring.chain_sketch import rows_of
from app.pages.wiring.view import LeadsView
from app.state.display import Display
from app.state.settings import Settings
from model.advice.advice import cures
from model.advice.offers import offers
from model.engine.comparison import Comparison, simulate
from model.export.set_up import pack_up, set_up
from model.files.scenario_file import parse_scenario, write_scenario
from model.findings.rules import find
from model.results.expected_readings import readings
from model.results.voltage_drop import chain_at
from model.scenario.part_cautions import part_cautions
from model.scenario.scenario import Scenario
from model.verdict.headline import headline
from model.verdict.table import verdict
from tests.page.page_reading import pdf_of, sheets
from tests.unit.made_kits import made_kit
from tests.unit.visible_text import of_file
from tests.window.sizing_sheets import said

ROOT = Path(__file__).resolve().parents[2]
SEEDS = range(6)
JOINING = re.compile(
    r"\b(connect(ed|s|ing)?|plug(ged|s)? in|join(s|ed)?|attach(ed)?|wire[ds]?|hook(ed)?"
    r"|(in|on)to the battery|held at the battery)\b",
    re.IGNORECASE,
)
FORBIDDING = re.compile(r"\b(do not|never|must not|not connected|no panel)\b", re.IGNORECASE)


def wrong(texts: Iterable[str]) -> list[str]:
    """Return the sentences that join a panel to something, unless through a controller."""
    found = []
    for text in texts:
        plain = " ".join(text.replace("\N{NO-BREAK SPACE}", " ").split())
        for sentence in re.split(r"(?<=[.;!?:])\s+|\n", plain):
            joins = re.search(r"\bpanels?\b", sentence, re.IGNORECASE) and JOINING.search(sentence)
            through = re.search(r"controller", sentence, re.IGNORECASE)
            without = re.search(r"without a (charge )?controller", sentence, re.IGNORECASE)
            if joins and not FORBIDDING.search(sentence) and (without or not through):
                found.append(sentence)
    return found


@pytest.mark.parametrize(
    ("words", "is_wrong"),
    [
        ("The panel is connected to the battery without a charge controller.", True),
        ("Connect the panel, then the radio.", True),
        ("Plug in the panel at sunrise.", True),
        ("Held at the battery's 13.2 V, this panel works far below its voltage.", True),
        ("Do not connect the panel to the battery: no charge controller.", False),
        ("Connect battery to controller, then panel, then load.", False),
        ("No charge controller: do not connect the panel.", False),
        ("Wire panels in series through the controller.", False),
    ],
)
def test_the_reader_tells_wrong_sentences_from_right_ones(words: str, is_wrong: bool) -> None:
    assert bool(wrong([words])) is is_wrong


def without_controller(seed: int) -> Scenario:
    """Return a made kit all of whose stations carry a panel and no controller."""
    data = made_kit(seed)
    for station in data["stations"]:
        station.pop("controller", None)
        station["panel"] = {"rated_w": 60.0, "mount": ("flat", "fixed", "re-aimed")[seed % 3]}
        # Of high voltage in some, so that the loss at battery volts is worth a finding.
        station["panel"] |= {"vmp_v": 18.0 + 9 * (seed % 2), "voc_v": 22.0 + 11 * (seed % 2)}
        station["panel"] |= {"count": 1 + seed % 2}
        station["leads"] = [*station["leads"], {"for": "panel", "size_mm2": 2.5, "one_way_m": 4}]
    return parse_scenario(tomli_w.dumps(data).encode())


def strings(value: Any) -> Iterator[str]:
    """Yield every text in plain data."""
    if isinstance(value, str):
        yield value
    elif isinstance(value, dict | list):
        for each in value.values() if isinstance(value, dict) else value:
            yield from strings(each)


def said_by_the_model(comparison: Comparison) -> Iterator[str]:
    yield headline(comparison).text
    told = verdict(comparison)
    yield from told.sentences
    yield from (text for row in told.rows for text in row.texts)
    for finding in find(comparison.scenario):
        yield f"{finding.sentence} {finding.remedy}"
    for index, run in enumerate(comparison.runs):
        yield from (f"{one.action.words}. {one.action.loses}" for one in cures(comparison, index))
        if run is None:
            continue
        for row in rows_of(chain_at(run), run.station, Display(Settings())):
            yield row.words
        for steps in (set_up(run.station, run.plan, None), pack_up(run.station, run.plan)):
            yield from (step.text for step in steps)
    yield from (f"{offer.words}. {offer.price}" for offer in offers(comparison))


@pytest.mark.parametrize("seed", SEEDS)
def test_nothing_said_of_such_a_kit_connects_its_panel(seed: int) -> None:
    scenario = without_controller(seed)
    comparison = simulate(scenario)
    assert wrong(said_by_the_model(comparison)) == []
    assert "Do not connect" in headline(comparison).text
    # No remedy builds on a panel that must not be used as it stands.
    for index in range(len(scenario.stations)):
        keys = {cure.action.key for cure in cures(comparison, index)}
        assert not keys & {"second_panel", "re_aim"}
    for run in comparison.runs:
        if run is not None:
            assert not [one for one in readings(run, run) if one.what.startswith("Panel")]


@pytest.mark.parametrize("seed", SEEDS[:3])
def test_no_printed_page_connects_its_panel(seed: int, qtbot: QtBot) -> None:
    scenario = without_controller(seed)
    texts = [sheet.flat for sheet in sheets(pdf_of(scenario))]
    assert wrong(texts) == []
    whole = " ".join(texts)
    # Neither is it aimed, nor covered and uncovered to compare the noise, nor taken for a source.
    assert "No charge controller: do not connect the panel." in whole
    for words in (
        "Noise, panel covered",
        "Panel tilt",
        "Panel flat",
        "Covered panel",
        "Declination",
    ):
        assert words not in whole
    assert "all charging ends" not in whole


@pytest.mark.parametrize("seed", SEEDS[:2])
def test_no_command_connects_its_panel(
    seed: int, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    file = tmp_path / "kit.toml"
    write_scenario(without_controller(seed), file)
    for command in ("run", "size"):
        assert main([command, str(file)]) == 0
        printed = capsys.readouterr().out
        assert wrong(printed.split("\n\n")) == []
        assert main([command, str(file), "--json", "-"]) == 0
        assert wrong(strings(json.loads(capsys.readouterr().out))) == []


def test_the_view_of_leads_does_not_connect_its_panel(qtbot: QtBot) -> None:
    view = LeadsView(Display(Settings()))
    qtbot.addWidget(view)
    view.show()
    [run, *_] = simulate(without_controller(1)).runs
    assert run is not None
    view.show_run(run, 0)
    qtbot.wait(10)
    assert wrong(said(view).splitlines()) == []
    cautions = [caution.text for caution in part_cautions("panel")]
    assert wrong(cautions) == []
    assert any("without a charge controller" in text for text in cautions)


PROSE = (
    ROOT / "README.md",
    *sorted((ROOT / "scenarios").rglob("*.md")),
    *sorted((ROOT / "scenarios").rglob("*.toml")),
    *sorted((ROOT / "assets" / "parts").glob("*.toml")),
    *sorted((ROOT / "model").rglob("*.py")),
    *sorted((ROOT / "app").rglob("*.py")),
)


@pytest.mark.parametrize("path", PROSE, ids=lambda path: str(path.relative_to(ROOT)))
def test_no_prose_that_ships_connects_a_panel_to_a_battery(path: Path) -> None:
    name = str(path.relative_to(ROOT))
    texts = [text.words for text in of_file(path, name)]
    joined = [words for words in wrong(texts) if "batter" in words.lower()]
    assert joined == []
