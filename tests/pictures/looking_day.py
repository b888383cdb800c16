"""What an eye would complain of on the day, where words are drawn and not widgets."""

from __future__ import annotations

from itertools import combinations

from PySide6.QtCore import QPoint, QPointF, QRectF
from PySide6.QtGui import QColor
from PySide6.QtWidgets import QAbstractButton

from app.charts.ink import Ink, mixed
from app.charts.labels import PLATE_ALPHA
from app.main_window import MainWindow
from model.scenario.scenario import STATIONS_LIMIT

# W3C, Web Content Accessibility Guidelines 2.2, success criterion 1.4.3.
LEAST_CONTRAST = 4.5


def words_of_the_day(window: MainWindow) -> list[tuple[QRectF, str]]:
    """Every word that is drawn on the day, and every button over it, with its place there."""
    day, chart, canvas = window.day, window.day.chart, window.plan.canvas
    found = [
        (margin.mapRectToScene(box), text)
        for margin in (chart.lanes, chart.end_labels)
        for box, text in margin.places()
    ]
    for pane in chart.panes:
        if pane.is_shown:
            found += pane.labels.places()
    corner = QPointF(chart.span.left_px, canvas.mapTo(day, canvas.ruler_corner()).y())
    for box, text in canvas.ruler.hour_labels() + canvas.ruler.day_labels():
        found.append((box.translated(corner), text))
    for button in day.findChildren(QAbstractButton):
        if button.isVisible() and button.window() is window and day.isAncestorOf(button):
            place = QRectF(button.rect()).translated(QPointF(button.mapTo(day, QPoint(0, 0))))
            # The words of a flat button do not fill it.
            found.append((place.adjusted(2, 2, -2, -2), button.text()))
    return found


def words_on_words(window: MainWindow) -> list[str]:
    """Words of the day that lie on one another, or beyond it."""
    words = words_of_the_day(window)
    room = QRectF(window.day.rect()).adjusted(-1, -1, 1, 1)
    found = [f"{text!r} leaves the day" for box, text in words if not room.contains(box)]
    for (box, text), (other, beside) in combinations(words, 2):
        if box.adjusted(1, 1, -1, -1).intersects(other):
            found.append(f"{text!r} and {beside!r}")
    return found


def faint_words(window: MainWindow) -> list[str]:
    """Colours of drawn words that do not stand out enough from what they are drawn on."""
    ink = Ink.of(window.day.palette())
    inks = {f"station {index + 1}": ink.station(index) for index in range(STATIONS_LIMIT)}
    inks |= {"text": ink.text, "faint text": ink.faint_text}
    plate = PLATE_ALPHA / 255
    # All words in the panes stand on a plate; those of the plan, in the colour of text, do not.
    grounds = {
        "ground": ink.ground,
        "plate at night": mixed(ink.night, ink.ground, plate),
        "plate in twilight": mixed(ink.twilight, ink.ground, plate),
    }
    pairs = [(name, ground, inks[name], grounds[ground]) for name in inks for ground in grounds]
    pairs += [("text", "night", ink.text, ink.night), ("text", "twilight", ink.text, ink.twilight)]
    return [
        f"{name} on {ground}: {contrast(colour, under):.2f}"
        for name, ground, colour, under in pairs
        if contrast(colour, under) < LEAST_CONTRAST
    ]


def contrast(one: QColor, other: QColor) -> float:
    """The contrast of two colours, by the definition of the same guidelines."""
    low, high = sorted((luminance(one), luminance(other)))
    return (high + 0.05) / (low + 0.05)


def luminance(colour: QColor) -> float:
    """The relative luminance of a colour."""
    parts = [part if part > 0 else 0.0 for part in colour.getRgbF()[:3]]
    red, green, blue = (
        part / 12.92 if part <= 0.04045 else ((part + 0.055) / 1.055) ** 2.4 for part in parts
    )
    return 0.2126 * red + 0.7152 * green + 0.0722 * blue
