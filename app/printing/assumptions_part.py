"""The settings this page assumes: all that its figures rest on, part by part."""

from __future__ import annotations

from datetime import date
from typing import Any

from app.editors.fields.words import word_of
from app.printing.marks import Piece
from app.printing.say import Say
from app.printing.type import rich_lines
from app.widgets.number_text import number_text, shown_as
from model.editing.field_facts import FieldFacts, field_at
from model.export.assumptions import Setting, SettingGroup
from model.export.kit_page import Kit
from model.support.figures import NBSP, day_text, entered, with_unit

HEAD = "Plan: the day on the front. Leads: the table above. What is not named: none, or no loss."


# Labels of fields that a run of words can say in fewer.
BRIEF = {
    "Minimum voltage for full power": "full power above",
    "Maximum supply voltage": "supply below",
    "Minimum voltage on receive": "receives above",
    "Key-down current": "key down",
    "Receive current": "receive",
    "Current when off": "off",
    "Lowest RF power": "RF from",
    "Highest RF power": "RF to",
    "Standby current": "standby",
    "Operate current": "operate",
    "Idle current": "idle",
    "Current while tuning": "tuning",
    "Converter efficiency": "converter",
    "Converter idle current": "its idle",
    "Recharge from spare sun": "recharge",
    "Rated capacity": "rated",
    "Tested capacity": "tested",
    "Internal resistance": "resistance",
    "Charge efficiency": "charging",
    "Maximum panel voltage": "panel below",
    "Starts at battery voltage plus": "starts at battery plus",
    "Rated power": "rated",
    "Charge at the start": "starts at",
    "Sky by date": "clear-sky index by date",
}


def assumptions_body(kit: Kit, say: Say, width: float) -> list[Piece]:
    """Return one run of words, part after part; plan and leads stand where they are worked from."""
    words: list[str] = []
    for group in kit.assumptions:
        if group.name == "Plan" or group.settings[0].path.startswith("stations.0.leads."):
            continue
        words += [f"{group.name}: ", f"{_told(group, say)} "]
    return rich_lines(["", *words, "", HEAD], width)


def _told(group: SettingGroup, say: Say) -> str:
    return ", ".join(_setting(each, say) for each in group.settings) + "."


def _setting(setting: Setting, say: Say) -> str:
    facts = field_at(setting.path)
    return f"{_label(facts.label)} {_value(setting.value, facts, say)}"


def _label(label: str) -> str:
    """Return a label inside a sentence; a short form that it gives in brackets stands for it."""
    if label in BRIEF:
        return BRIEF[label]
    short = label.partition(" (")[2].removesuffix(")")
    label = short or label
    return label if label[:2].isupper() or (label[1:].isalpha() and short) else _small(label)


def _small(label: str) -> str:
    return label[:1].lower() + label[1:]


def _value(value: Any, facts: FieldFacts, say: Say) -> str:
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, tuple):
        return _values(value, facts, say)
    if isinstance(value, date):
        return f"{day_text(value)} {value.year}"
    if isinstance(value, int | float):
        return _number(value, facts, say)
    return word_of(value)


def _values(values: tuple[Any, ...], facts: FieldFacts, say: Say) -> str:
    if not values:
        return "never"
    if isinstance(values[0], tuple):
        units = (facts.unit or "").split(", ")
        return "; ".join(_row(row, units) for row in values)
    return " / ".join(_value(each, facts, say) for each in values)


def _row(row: tuple[Any, ...], units: list[str]) -> str:
    """Return a row of points as ``0.95 A at 1 W``, of hours as ``18:00–23:00``."""
    times = [each for each in row if isinstance(each, str)]
    numbers = [
        with_unit(entered(each), units[at] if at < len(units) else "")
        for at, each in enumerate(row)
        if not isinstance(each, str)
    ]
    if times:
        return " ".join(["–".join(times), *numbers])
    return " at ".join(reversed(numbers))


def _number(value: float, facts: FieldFacts, say: Say) -> str:
    """Return a number in full: rounded it would not give the page's figures."""
    shown = shown_as(facts, us=say.us)
    if shown.unit == "kg":
        return number_text(value, facts, us=say.us)
    text = entered(round(shown.of(value), 9))
    return with_unit(text, shown.unit).replace(" ", NBSP)
