"""What the blocks of a plan are called."""

from __future__ import annotations

from app.editors.fields.words import word_of
from app.widgets.number_text import quantity
from model.scenario.scenario import Activity, Block

_SHORT: dict[Activity, str] = {
    "off": "off",
    "watch": "watch",
    "voice": "voice",
    "morse": "Morse",
    "fm": "FM",
    "slots": "slots",
    "arq": "data",
}


def first_lines(block: Block) -> tuple[str, ...]:
    """Return what stands in a block, the longest first: a narrow one takes a shorter one."""
    long, short = word_of(block.activity), _SHORT[block.activity]
    if not block.sends:
        return (long, short)
    power = quantity(block.rf_w, "W", 1)
    named = (f"{block.note} {power}",) if block.note else ()
    return (*named, f"{long} {power}", f"{short} {power}", power)


def second_lines(block: Block) -> tuple[str, ...]:
    """Return what stands below it: the frequency, the note, and how much is heard or sent."""
    parts = []
    if block.frequency_mhz is not None:
        parts.append(quantity(block.frequency_mhz, "MHz", 3))
    is_told = block.sends or block.note.casefold() == word_of(block.activity).casefold()
    if block.note and not is_told:
        parts.append(block.note)
    if block.sends:
        parts.append(f"transmits {quantity(block.transmit_share * 100, '%', 0)}")
    elif block.activity != "off" and block.listen_share < 1:
        parts.append(listening_words(block.listen_share))
    wholes = [", ".join(parts[:count]) for count in range(len(parts), 0, -1)]
    return (*wholes, *parts[-1:])


def listening_words(share: float) -> str:
    """Return how long the receiver is on in each hour."""
    return f"{quantity(share * 60, 'min', 0)} an hour"


def spoken(block: Block) -> str:
    """Return a block in one sentence, for those who hear it."""
    words = [f"{block.start} to {block.end}, {word_of(block.activity)}"]
    if block.sends:
        words.append(
            f"{quantity(block.rf_w, 'W', 1)},"
            f" transmitting {quantity(block.transmit_share * 100, '%', 1)} of the time"
        )
    if block.activity != "off" and block.listen_share < 1:
        words.append(f"listening {quantity(block.listen_share * 100, '%', 1)} of the rest")
    if block.frequency_mhz is not None:
        words.append(quantity(block.frequency_mhz, "MHz", 3))
    if block.note:
        words.append(block.note)
    return ", ".join(words)
