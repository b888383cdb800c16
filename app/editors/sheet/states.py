"""The settings of a part that stand in its own row, a line for each: where each state stands."""

from __future__ import annotations

from dataclasses import dataclass

from PySide6.QtCore import QRect, Qt
from PySide6.QtGui import QColor, QFont, QFontMetrics, QPainter

from app.editors.sheet.cells import Setting
from app.editors.sheet.rows import SETTINGS, facts_of

# From the longest words to the shortest, where the column is narrow.
WORDS = (
    {"operate": "op"},
    {"operate": "op", "standby": "stby"},
    {"operate": "op", "standby": "sb"},
)
SEGMENT_PAD_PX, LABEL_GAP_PX = 3, 6


@dataclass(frozen=True)
class Segment:
    """A state that a click chooses: of which setting, its word, and where it stands."""

    key: str
    state: str
    word: str
    place: QRect


@dataclass(frozen=True)
class StateColours:
    """Of words, of a chosen state and its word, of frames and the ground of a held state."""

    text: QColor
    chosen: QColor
    on_chosen: QColor
    quiet: QColor


def states_in(slot: str, metrics: QFontMetrics, room: QRect) -> list[tuple[Segment, ...]]:
    """Return the states of each setting of a part, a line each, at the right of the room."""
    keys = tuple(SETTINGS[slot])
    words = next((each for each in WORDS if _width(keys, each, metrics) <= room.width()), WORDS[-1])
    height = room.height() // len(keys)
    return [
        _line(key, words, metrics, QRect(room.left(), top, room.width(), height))
        for key, top in zip(keys, range(room.top(), room.bottom(), height), strict=False)
    ]


def _width(keys: tuple[str, ...], words: dict[str, str], metrics: QFontMetrics) -> int:
    return max(sum(_widths(key, words, metrics)) for key in keys)


def _widths(key: str, words: dict[str, str], metrics: QFontMetrics) -> list[int]:
    texts = [words.get(each, each) for each in facts_of(key).choices]
    return [metrics.horizontalAdvance(each) + 2 * SEGMENT_PAD_PX for each in texts]


def _line(
    key: str, words: dict[str, str], metrics: QFontMetrics, line: QRect
) -> tuple[Segment, ...]:
    widths = _widths(key, words, metrics)
    height = min(metrics.height() + 4, line.height() - 2)
    left, top = line.right() - sum(widths), line.center().y() - height // 2
    found = []
    for state, width in zip(facts_of(key).choices, widths, strict=True):
        word = words.get(state, state)
        found.append(Segment(key, state, word, QRect(left, top, width, height)))
        left += width
    return tuple(found)


def paint_states(
    painter: QPainter,
    states: list[tuple[Segment, ...]],
    settings: tuple[Setting, ...],
    colours: StateColours,
    chosen: QFont,
) -> None:
    """Paint every setting: its chosen state filled, and in grey the one that is held.

    Parameters
    ----------
    chosen : the font of the word of a chosen state.
    """
    plain = painter.font()
    for setting, line in zip(settings, states, strict=True):
        for each in line:
            is_chosen = each.state == setting.state
            if is_chosen or each.state == setting.was:
                painter.fillRect(each.place, colours.chosen if is_chosen else colours.quiet)
            painter.setPen(colours.on_chosen if is_chosen else colours.text)
            painter.setFont(chosen if is_chosen else plain)
            painter.drawText(each.place, _CENTRE, each.word)
        painter.setPen(colours.quiet)
        painter.drawRect(line[0].place.united(line[-1].place).adjusted(0, 0, -1, -1))


def paint_setting_names(
    painter: QPainter, place: QRect, slot: str, metrics: QFontMetrics, label_px: int
) -> None:
    """Paint at the right of the label of a part, so long [px], what the setting in each line is."""
    names = SETTINGS[slot].values()
    height = place.height() // len(names)
    for number, name in enumerate(names):
        taken = 0 if number else label_px + LABEL_GAP_PX
        if metrics.horizontalAdvance(name) <= place.width() - taken:
            line = QRect(place.left(), place.top() + number * height, place.width(), height)
            painter.drawText(line, _RIGHT, name)


_CENTRE = Qt.AlignmentFlag.AlignCenter.value
_RIGHT = (Qt.AlignmentFlag.AlignRight | Qt.AlignmentFlag.AlignVCenter).value
