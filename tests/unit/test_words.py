"""What people read says what operators say: no word of the list stands in any visible text."""

from __future__ import annotations

import re
from dataclasses import dataclass
from pathlib import Path
from textwrap import dedent

import pytest

from tests.unit.visible_text import Text, of_file, of_prose, of_source, of_toml, other_keys

ROOT = Path(__file__).parents[2]
SOURCES = sorted(path for room in ("app", "model") for path in (ROOT / room).rglob("*.py"))
DATA = sorted(path for room in ("assets", "scenarios") for path in (ROOT / room).rglob("*.toml"))
PROSE = [
    *sorted((ROOT / "scenarios").rglob("*.md")), *sorted((ROOT / "assets").rglob("*.md")),
    ROOT / "README.md", ROOT / "DEVELOPERS.md",
]  # fmt: skip
FILES = [*SOURCES, *DATA, *PROSE]


@dataclass(frozen=True)
class Banned:
    """A word that is not said: where it stands in a text, an example, and what is said instead."""

    pattern: str
    example: str
    instead: str

    def found_in(self, words: str) -> bool:
        return re.search(self.pattern, words, re.IGNORECASE) is not None


# Terms of the trade as handbooks of amateur radio use them; common practice, no source.
BANNED = (
    Banned(r"\b(?:sends?|sent|sending)\b", "the station sends at 10 W", "transmits, TX"),
    Banned(r"\bsilent\b", "A goes silent at 04:10", "off the air"),
    Banned(r"\bbears?\b", "never above what the conductor bears", "is rated for"),
    Banned(
        r"\b(?:the|this|a real|real|many|no|from|your|each|every|radio) sets?\b(?! (?:of|to)\b)",
        "volts at the set fall",
        "radio",
    ),
    Banned(
        r"% of (?:the )?draws\b|\b(?:every|all|random|most|many|of the) draws?\b"
        r"|\bdrawn within\b|\bdrawing numbers\b",
        "B lasts longer in 96 % of draws",
        "trial trips",
    ),
    Banned(r"(?:\d|\{\}) box(?:es)?\b|^Boxes$", "10 boxes", "items"),
    Banned(r"(?:\d|\{\}) cables?\b|^Cables$", "4 cables", "leads"),
    Banned(
        r"\blead (?:AGM|flooded|batter|cells?\b|acid\b|0\.\d|about 0|after some|at its 20|-20)"
        r"|\bfor lead\b|\bcharging lead\b|\bdepth lead\b",
        "Lead batteries vent hydrogen",
        "lead-acid (AGM), lead-acid (flooded)",
    ),
    Banned(r"\bmend(?:s|ed|ing)?\b", "What would mend it", "fixes"),
    Banned(r"\bair (?:the|your) (?:place|room|tent)\b|\baired\b", "air the place", "ventilate"),
    Banned(r"\b(?:take|takes|taken|taking) over\b", "Take over", "apply, use, save to library"),
    Banned(
        r"\bmatch(?:ing of)? power\b|\b(?:equali[sz]e|equal) power\b",
        "Match power",
        "same RF power",
    ),
    Banned(r"\bbands? of doubt\b", "Band of doubt", "uncertainty band"),
    Banned(r"\bhow sure\b", "How sure", "odds, what drives the uncertainty"),
    Banned(r"\bkeep clear\b", "Heard, and keep clear", "signal and RF exposure"),
    Banned(r"\bmoves? (?:it|them) most\b", "What moves it most", "sensitivity"),
    Banned(r"\bbest[- ]point\b", "Volts at best point", "voltage at max power (Vmp), MPPT"),
    Banned(r"\btied (?:controller|panel|to)\b", "Tied controller", "PWM"),
    Banned(r"\bground brightness\b", "Ground brightness", "ground reflectivity (albedo)"),
    Banned(r"\bpenlights?\b", "penlight cells", "AA cells"),
    Banned(r"\bkept:? open\b|\bheld? now\b", "kept open", "outside air"),
    Banned(
        r"\b(?:kit|battery|panel|station|radio|power|none|neither|nothing|which|that|\{\}) holds?\b"
        r"(?! (?:at most|at least|exactly|charge|no more|a |an |the |it |this |its |\d|\{\}))"
        r"|^holds$|\bholds? (?:out|on|now|to the end|full power)\b",
        "the smallest battery that holds",
        "meets the plan",
    ),
    Banned(r"\bown draw\b", "Own draw", "standby current"),
    Banned(r"\bhand-turned tuner\b", "Hand-turned tuner", "manual tuner"),
    Banned(r"\btime and position receiver\b", "Time and position receiver", "GNSS receiver"),
    Banned(r"\bground wires?\b", "four ground wires", "radials, counterpoise wires"),
    Banned(r"\bwith blanks between\b", "times with blanks between", "separated by spaces"),
    Banned(r"\bby-pass", "by-pass the amplifier", "bypass"),
    Banned(r"\bsecond less first\b|(?:\d|\{\}) less 1\b", "Second less first", "difference, B - A"),
    Banned(r"^doing nothing$", "Doing nothing", "no change"),
    Banned(r"\brests? on guesses\b", "Rests on guesses", "from guesses"),
    Banned(r"\bguests?\b", "a guest in a net", "station checking in"),
    Banned(r"\b(?:slotted|connected) data\b", "slotted data", "weak-signal data, ARQ data"),
    Banned(r"\bgives? off hydrogen\b", "it gives off hydrogen", "releases hydrogen"),
    Banned(r"\bis mains[.,]", "Inverter output is mains.", "is mains voltage and can kill"),
    Banned(r"\bnobody belongs\b", "Nobody belongs within reach", "keep everyone out of reach"),
    Banned(r"\bmeter the polarity\b", "Meter the polarity", "check polarity with a meter"),
    Banned(r"\bvolts say\b", "Volts say nothing of the charge", "voltage does not indicate charge"),
    Banned(r"\bvolts at the (?:radio|battery|amplifier)\b", "Volts at the radio", "voltage at"),
    Banned(r"\bversion before\b", "Of the version before", "out of date, previous version"),
    Banned(r"\bcold locks?\b|\blocks? up\b", "cold locks up 9 %", "unavailable in the cold"),
    Banned(r"\bas loud\b", "As loud, for 5.9 Ah", "same signal"),
    Banned(r"^(?:Leads to|Faces|Read|Kept)$", "Faces", "feeds, azimuth (true), measured"),
)

# What these words say when they mean something else.
LEGAL = (
    "Weak-signal data (15 s slots): a set of lessons",
    "The idle amplifier draws 0.9 A",
    "Add the lead to the radio, 2 m of 4 mm²",
    "lead-acid (AGM), lead-acid (flooded)",
    "Charging a lead-acid battery releases hydrogen: ventilate, no sparks",
    "One box, 100 W",
    "Set the controller to the battery's chemistry",
    "the library holds at most 500 parts of one kind",
    "A box to tick",
    "Air temperature, lowest of the day",
    "The tuner finds a match",
)

# Single words that stand for a key by their place, as those that name the rows of a table.
KEYS = {
    "model/scenario/kinds.py": ("kept",),
    "app/printing/comparison_page.py": ("boxes", "cables"),
    "model/verdict/table.py": ("boxes", "cables"),
    "model/lessons/outcomes.py": ("boxes", "cables"),
    "model/advice/minimum_watch.py": ("silent",),
    "model/results/minute.py": ("silent",),
}

# String keys of the scenario, lesson and library files that nobody reads as text.
CODE_KEYS = {
    "activity", "bad_sky", "chemistry", "closing", "drops", "end", "figures", "first", "for",
    "from", "glossary", "heat", "high", "hours", "id", "in_session", "kept", "kind", "kit",
    "lesson", "light", "low", "mount", "opening", "out_of_session", "path", "picture", "profile",
    "relay", "result", "right", "runs", "scenario", "series", "show", "sky", "start", "timezone",
    "unit", "value",
}  # fmt: skip

# Visible texts of window parts that are still to be replaced. This list only gets shorter.
EXCEPTIONS: dict[str, tuple[str, ...]] = {}


def faults(texts: list[Text]) -> list[tuple[Text, Banned]]:
    """Return the texts in which a banned word stands, each with what is banned."""
    return [
        (text, banned)
        for text in texts
        for banned in BANNED
        if text.words not in KEYS.get(text.file, ()) and banned.found_in(text.words)
    ]


def told(found: list[tuple[Text, Banned]]) -> list[str]:
    return [
        f"{text.file}:{text.line}: {text.words!r}: say {banned.instead}"
        for text, banned in found
        if text.words not in EXCEPTIONS.get(text.file, ())
    ]


@pytest.mark.parametrize("path", FILES, ids=lambda path: str(path.relative_to(ROOT)))
def test_no_visible_text_holds_a_banned_word(path: Path) -> None:
    assert told(faults(of_file(path, str(path.relative_to(ROOT))))) == []


def test_every_exception_is_still_needed() -> None:
    for file, words in EXCEPTIONS.items():
        found = {text.words for text, _ in faults(of_file(ROOT / file, file))}
        assert set(words) <= found, f"{file}: take off the list what is no longer there"


def test_every_key_that_stands_for_none_is_there() -> None:
    for file, words in KEYS.items():
        assert set(words) <= {text.words for text in of_file(ROOT / file, file)}


@pytest.mark.parametrize("banned", BANNED, ids=lambda banned: banned.example)
def test_a_banned_word_is_found_in_its_example_and_not_in_what_is_said(banned: Banned) -> None:
    assert banned.found_in(banned.example)
    assert not banned.found_in(banned.instead)


@pytest.mark.parametrize("words", LEGAL)
def test_the_same_word_may_mean_something_else(words: str) -> None:
    assert not [banned.pattern for banned in BANNED if banned.found_in(words)]


# One text of each surface, and a banned word put into a copy of it.
PLANTED = [
    ("a tip", "app/editors/fields/words.py", "Full carrier for as long", "It sends for as long"),
    ("a command", "app/widgets/actions.py", '"&Same RF power"', '"&Match power"'),
    ("a finding", "model/findings/leads.py", "No leads are listed", "The conductor bears it"),
    ("a caution", "model/scenario/cautions.py", "releases hydrogen", "gives off hydrogen"),
    ("the page", "model/export/set_up.py", "Transmitting ", "The set stops sending "),
    ("a lesson", "scenarios/lessons/frost.toml", 'title = "', 'title = "The set is silent. '),
    ("a part", "assets/parts/batteries.toml", 'name = "', 'name = "Ten penlight cells '),
    ("a scenario", "scenarios/ridge-weekend.toml", 'title = "', 'title = "How sure? '),
    ("the guide", "scenarios/lessons/guide.md", "# A class", "# Take over a class"),
    ("the front page", "README.md", "# Counterpoise", "# Counterpoise: what would mend it"),
]  # fmt: skip


@pytest.mark.parametrize(("what", "file", "old", "new"), PLANTED, ids=[row[0] for row in PLANTED])
def test_a_word_put_into_a_copy_is_found(
    tmp_path: Path, what: str, file: str, old: str, new: str
) -> None:
    source = (ROOT / file).read_text(encoding="utf-8")
    assert old in source, f"{what} reads otherwise now: choose another text"
    copy = tmp_path / Path(file).name
    copy.write_text(source.replace(old, new, 1), encoding="utf-8")
    before, after = faults(of_file(ROOT / file, file)), faults(of_file(copy, file))
    assert len(after) > len(before)


def test_keys_and_names_are_not_read_as_text() -> None:
    source = """
        def sent(holds: "Boxes") -> "sends":
            'The station sends.'
            table = {"sent": holds["silent"]}
            if table.get("sent") == "sends" or getattr(holds, "bears"):
                match holds:
                    case "silent":
                        return cast("Boxes", table)
            return f"{table['sent']:sent} stays"
    """
    assert [text.words for text in of_source("x.py", dedent(source))] == ["{} stays"]


def test_text_is_read_wherever_it_stands() -> None:
    source = """
        TIP = ("it " "sends")
        label = QLabel(f"{name} sends {plain(3)} W" if name else "silent")
        table = {"key": "mend it", **more}
        rows = [[f"a {'sent' if x else 'lost'} b"]]
    """
    said = {text.words for text in of_source("x.py", dedent(source))}
    assert {"it sends", "{} sends {} W", "silent", "mend it", "a {} b", "sent"} <= said


def test_data_files_have_no_text_under_a_key_that_is_not_known() -> None:
    for path in DATA:
        unknown = other_keys(path.read_text(encoding="utf-8")) - CODE_KEYS
        # In what a lesson or a variant changes a key is a dotted path.
        assert {key for key in unknown if "." not in key} == set(), path.name


def test_code_in_prose_and_formulas_in_lessons_are_left_out() -> None:
    prose = "Say *off*.\n\n    sends\n\n```\nsilent\n```\n\nRead `bears` here.\n"
    assert [text.words for text in of_prose("x.md", prose)] == ["Say *off*.", "Read {} here."]
    (text,) = of_toml("x.toml", 'question = "{sent.boxes|A} in all"')
    assert text.words == "{} in all"
