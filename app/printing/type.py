"""The page's type: one family with a fallback, measured the same way for every device."""

from __future__ import annotations

import re
from collections.abc import Sequence
from functools import lru_cache

from PySide6.QtGui import QFont, QFontDatabase, QFontMetricsF

from app.printing.marks import BODY, POINT, Piece, Style, Text
from model.support.figures import NBSP

# The narrow cut of a common free family with figures of equal width; where it is not installed,
# the next one is, and at the end whatever the system calls sans serif.
FAMILIES = ("DejaVu Sans Condensed", "Noto Sans", "Segoe UI", "Helvetica Neue", "Arial")
LEADING = 1.06
ELLIPSIS = "…"
BETWEEN = re.compile(r"[^\S\u00a0\u202f]+")
# Where a line never ends: between a number and its unit, a weekday and its hour.
TOGETHER = re.compile(
    r"(?<=\d) (?=(?:%|°[CF]?|±|mm²|(?:Ah?|Wh?|V|h|min|kg|g|lb|m|ft|dB|mΩ|MHz)\b))"
    r"|(?<=±) (?=\d)|(?<=\b[A-Z][a-z]{2}) (?=\d\d:\d\d)"
)


@lru_cache(maxsize=32)
def font(style: Style) -> QFont:
    """Return the font of a style; its pixels are tenths of a point."""
    made = QFont()
    present = set(QFontDatabase.families())
    made.setFamilies([name for name in FAMILIES if name in present] or [made.defaultFamily()])
    made.setStyleHint(QFont.StyleHint.SansSerif)
    made.setPixelSize(round(style.points * POINT))
    made.setBold(style.weight == "bold")
    # Without hinting and kerning, a line is as long on a screen as on paper.
    made.setHintingPreference(QFont.HintingPreference.PreferNoHinting)
    made.setKerning(False)
    # A joined "fi" would be one strange letter to whoever searches or copies the text.
    made.setFeature(QFont.Tag("liga"), 0)
    return made


@lru_cache(maxsize=32)
def _metrics(style: Style) -> QFontMetricsF:
    return QFontMetricsF(font(style))


@lru_cache(maxsize=16384)
def width_of(text: str, style: Style = BODY) -> float:
    """Return how wide a line of text is."""
    return float(_metrics(style).horizontalAdvance(text))


def line_height(style: Style = BODY) -> float:
    """Return from baseline to baseline."""
    return style.points * POINT * LEADING


def ascent(style: Style = BODY) -> float:
    """Return how far below the upper edge of its line a baseline stands."""
    metrics = _metrics(style)
    slack = line_height(style) - metrics.ascent() - metrics.descent()
    return float(metrics.ascent() + slack / 2)


def shortened(text: str, width: float, style: Style = BODY) -> str:
    """Return the text, cut with an ellipsis where it is wider than allowed."""
    if width_of(text, style) <= width:
        return text
    low, high = 0, len(text)
    while low < high:
        middle = (low + high + 1) // 2
        if width_of(text[:middle].rstrip() + ELLIPSIS, style) <= width:
            low = middle
        else:
            high = middle - 1
    return text[:low].rstrip() + ELLIPSIS


def wrapped(text: str, width: float, style: Style = BODY, most: int | None = None) -> list[str]:
    """Return the text in lines no wider than allowed, at most ``most`` of them.

    A word that is wider than a line is broken where the line ends. A no-break space binds.
    """
    text = TOGETHER.sub(NBSP, text)
    # Figures and letters stand apart evenly, without kerning: a line is the sum of its words.
    space = width_of(" ", style)
    lines: list[str] = []
    words: list[str] = []
    used = 0.0
    for whole in BETWEEN.split(text.strip()):
        word, wide = whole, width_of(whole, style)
        if words and used + space + wide > width:
            lines.append(" ".join(words))
            words, used = [], 0.0
        while wide > width:
            kept = _fitting(word, width, style)
            lines.append(word[:kept])
            word = word[kept:]
            wide = width_of(word, style)
        used += wide + (space if words else 0.0)
        words.append(word)
    if words:
        lines.append(" ".join(words))
    if most is not None and len(lines) > most:
        rest = " ".join(lines[most - 1 :])
        lines = [*lines[: most - 1], shortened(rest, width, style)]
    return lines


def rich(words: Sequence[str], width: float, style: Style = BODY) -> Piece:
    """Return text in lines of a width, every second one of ``words`` in bold."""
    pitch = line_height(style)
    lines = rich_lines(words, width, style)
    marks = [mark for at, line in enumerate(lines) for mark in line.moved(0.0, at * pitch)]
    return Piece(pitch * len(lines), tuple(marks))


def rich_lines(words: Sequence[str], width: float, style: Style = BODY) -> list[Piece]:
    """Return the same as one piece for each line, between which a side may end."""
    pieces = []
    for line in _rich_lines(words, width, style):
        at, marks = 0.0, list[Text]()
        for text, look in line:
            wide = width_of(text, look)
            marks.append(Text(at, ascent(style), text, look, wide))
            at += wide
        pieces.append(Piece(line_height(style), tuple(marks)))
    return pieces


Run = tuple[str, Style]


def _rich_lines(words: Sequence[str], width: float, style: Style) -> list[list[Run]]:
    space = width_of(" ", style)
    lines: list[list[Run]] = []
    line: list[Run] = []
    used = 0.0
    for token in _tokens(words, style, width):
        wide = sum(width_of(text, look) for text, look in token)
        if line and used + space + wide > width:
            lines.append(line)
            line, used = [], 0.0
        if line:
            text, look = line[-1]
            line[-1] = (f"{text} ", look)
            used += width_of(" ", look)
        for text, look in token:
            if line and line[-1][1] == look:
                line[-1] = (line[-1][0] + text, look)
            else:
                line.append((text, look))
        used += wide
    return [*lines, line] if line else lines


def _tokens(words: Sequence[str], style: Style, width: float) -> list[list[Run]]:
    """Return what is not torn apart at the end of a line: runs between two spaces."""
    bold = Style(style.points, "bold")
    tokens: list[list[Run]] = [[]]
    for number, fragment in enumerate(words):
        look = bold if number % 2 else style
        for at, part in enumerate(BETWEEN.split(TOGETHER.sub(NBSP, fragment))):
            if at:
                tokens.append([])
            rest = part
            while width_of(rest, look) > width:
                kept = _fitting(rest, width, look)
                tokens += [[(rest[:kept], look)], []]
                rest = rest[kept:]
            if rest:
                tokens[-1].append((rest, look))
    return [token for token in tokens if token]


def _fitting(word: str, width: float, style: Style) -> int:
    low, high = 1, len(word)
    while low < high:
        middle = (low + high + 1) // 2
        if width_of(word[:middle], style) <= width:
            low = middle
        else:
            high = middle - 1
    return low


def line_of(
    text: str,
    x: float = 0.0,
    style: Style = BODY,
    *,
    right: float | None = None,
    height: float | None = None,
) -> Piece:
    """Return one line of text from ``x`` on, or ending at ``right``."""
    width = width_of(text, style)
    begin = x if right is None else right - width
    tall = line_height(style) if height is None else height
    baseline = (tall - line_height(style)) / 2 + ascent(style)
    return Piece(tall, (Text(begin, baseline, text, style, width),) if text else ())


def paragraph(
    text: str, width: float, style: Style = BODY, *, x: float = 0.0, most: int | None = None
) -> Piece:
    """Return text in lines of a width."""
    pitch = line_height(style)
    lines = wrapped(text, width, style, most)
    marks = tuple(
        Text(x, number * pitch + ascent(style), line, style, width_of(line, style))
        for number, line in enumerate(lines)
    )
    return Piece(pitch * len(lines), marks)
