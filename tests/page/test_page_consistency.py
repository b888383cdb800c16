"""No section of a kit page contradicts another: the printed text of generated kits is read.

A few kits run with every check; ``python -m tests.page.test_page_consistency 50`` reads fifty.
"""

from __future__ import annotations

import re
import sys
from collections.abc import Iterator

import pytest
import tomli_w

from app.printing.document import ensure_application
from model.engine.comparison import simulate
from model.files.scenario_file import parse_scenario
from model.scenario.scenario import Scenario
from tests.page.page_reading import pdf_of, sheets
from tests.unit.made_kits import made_kit

IN_CI = 3
CLOCK = r"\d\d:\d\d"
METRIC = r"\d (?:kg|mm²|°C|m/s|m)(?![\w²/])"
US = r"\d (?:lb|°F|mph|ft)(?!\w)|AWG"


def kit(seed: int) -> Scenario:
    return parse_scenario(tomli_w.dumps(made_kit(seed)).encode())


def pages(scenario: Scenario, units: str = "metric") -> list[tuple[str, str]]:
    """Return front and back of every station, as read out of the file."""
    read = sheets(pdf_of(simulate(scenario), units=units))
    kits = [sheet.flat for sheet in read if sheet.flat.startswith("Comparison") is False]
    fronts = [text for text in kits if "front: operate" in text]
    backs = [text for text in kits if "back: understand" in text]
    assert len(fronts) == len(backs) == len(scenario.stations)
    return list(zip(fronts, backs, strict=True))


def number(text: str, words: str) -> float:
    found = re.search(words, text)
    assert found is not None, words
    return float(found[1])


def faults(front: str, back: str, scenario: Scenario, index: int) -> Iterator[str]:
    """Yield what one page says that does not agree with itself."""
    both = f"{front} {back}"
    if more := re.search(r"(?:front|back) \d of \d", both):
        yield f"more than one sheet: {more[0]}"
    if "…" in both:
        yield "something is cut off"
    station = scenario.stations[index]
    yield from _charge(both, back)
    yield from _clocks(back)
    yield from _sums(back)
    yield from _leads(front, back)
    yield from _parts(front, station)


def _charge(both: str, back: str) -> Iterator[str]:
    left = number(both, r"Battery low: ([\d.]+) Ah left")
    used = number(both, r"Ah left \(([\d.]+) Ah used\)")
    rated, share = number(back, r"rated ([\d.]+) Ah"), 100.0
    if found := re.search(r"tested ([\d.]+) %", back):
        share = float(found[1])
    if abs(left + used - rated * share / 100) > 0.11:
        yield f"left and used are not the capacity: {left} + {used}, {rated} at {share} %"
    for told, low, high in re.findall(r"(?<![\d.])([\d.]+) \(([\d.]+)–([\d.]+)\)", both):
        if not float(low) <= float(told) <= float(high) <= rated * 1.3 + 0.1:
            yield f"outside its band: {told} ({low}–{high})"
    if "Full sun a day" not in back and re.search(r"[Pp]anel (?:\d|covered|still)", both):
        yield "a panel is handled and no sun is told"
    too_cold = "Cells too cold to charge" in back or "too cold to charge throughout" in back
    if "Cells warm enough to charge throughout" in back and too_cold:
        yield "too cold and warm enough"


def _clocks(back: str) -> Iterator[str]:
    reserve = number(back, r"Reserve ([\d.]+) % until")
    lowest = [
        float(each) for each in re.findall(r"(\d+) %", back.partition("Lowest charge")[2])[:2]
    ]
    row = re.split(r"Reserve [\d.]+ % until", back)[1][:40]
    planned = "lasts" if row.split()[0] == "lasts" else "ends"
    if (planned == "lasts") != (lowest[0] >= reserve) and abs(lowest[0] - reserve) > 1:
        yield f"reserve {reserve} %, lowest {lowest[0]} %, but it {planned}"
    receive = back.partition("Receive until")[2][:30]
    lasts = receive.split()[0] == "lasts"
    verdict = back.partition("Lowest charge")[2].partition("Power budget")[0]
    if lasts == bool(re.search("ff the air|receives until", verdict)):
        yield f"receive {receive!r} against the verdict"


def _sums(back: str) -> Iterator[str]:
    budget = back.partition("Power budget of 24 hours")[2].partition("By night")[0]
    lines = re.findall(r"([\d.]+) ([\d.]+) (\d+) %", budget)
    *parts, whole = [[float(each) for each in line] for line in lines]
    for place, slack in ((0, 0.005), (1, 0.05), (2, 0.5)):
        if abs(sum(part[place] for part in parts) - whole[place]) > slack * (len(parts) + 1):
            yield f"budget: {parts} is not {whole}"
    night, day = re.findall(r"By night ([\d.]+), by day ([\d.]+) Ah", back)[0]
    if abs(float(night) + float(day) - whole[0]) > 0.016:
        yield f"night {night} and day {day} are not {whole[0]}"


def _leads(front: str, back: str) -> Iterator[str]:
    table = back.partition("Wiring and fuses No.")[2].partition("Settings this page")[0]
    known = set(re.findall(r"(?<![\d.,])(\d{1,2}) (?=[A-Za-z])", table))
    told = re.findall(r"[Ll]eads? (\d+)", front) + re.findall(r"fuse (\d+) out", front + back)
    for lead in told:
        if lead not in known:
            yield f"lead {lead} is not in the wiring table ({sorted(known)})"


def _parts(front: str, station: object) -> Iterator[str]:
    for slot, word in (("amplifier", "mplifier"), ("tuner", "uner"), ("laptop", "omputer")):
        if getattr(station, slot) is None and word in front:
            yield f"no {slot}, but the front speaks of it"
    if getattr(station, "amplifier", None) is not None and "keying lead" not in front:
        yield "an amplifier without its keying lead"


def all_faults(seed: int) -> list[str]:
    """Return what the pages of one made kit say against themselves, in both units."""
    scenario = kit(seed)
    found = []
    for units, foreign in (("metric", US), ("us", METRIC)):
        for index, (front, back) in enumerate(pages(scenario, units)):
            told = list(faults(front, back, scenario, index))
            if wrong := re.search(foreign, front + back):
                told.append(f"{units}: {wrong[0]}")
            found += [f"kit {seed}, station {index + 1}, {units}: {each}" for each in told]
    return found


@pytest.mark.usefixtures("qapp")
@pytest.mark.parametrize("seed", range(IN_CI))
def test_no_section_contradicts_another(seed: int) -> None:
    assert all_faults(seed) == []


def spoiled(old: str, new: str) -> list[str]:
    """Return the faults of the first kit's page with some of its words changed."""
    scenario = kit(0)
    front, back = pages(scenario)[0]
    assert old in front or old in back, old
    return list(faults(front.replace(old, new), back.replace(old, new), scenario, 0))


@pytest.mark.usefixtures("qapp")
def test_a_contradiction_would_be_found() -> None:
    front, back = pages(kit(0))[0]
    left = re.search(r"low: ([\d.]+) Ah", front)[1]
    assert any("capacity" in each for each in spoiled(f"{left} Ah left", "99.0 Ah left"))
    total = re.search(r"In 24 hours ([\d.]+)", back)[1]
    assert any("budget" in each for each in spoiled(f"In 24 hours {total}", "In 24 hours 99.99"))
    fuse = re.search(r"[Ll]ead (\d+)", front)[1]
    assert any("wiring table" in each for each in spoiled(f"Lead {fuse}", "Lead 77"))


if __name__ == "__main__":
    ensure_application()
    count = int(sys.argv[1]) if len(sys.argv) > 1 else 50
    told = [each for seed in range(count) for each in all_faults(seed)]
    sys.stdout.write(("\n".join(told) or f"{count} kits, no contradiction") + "\n")
    sys.exit(bool(told))
