"""Text can be read on every ground in both palettes, and stations can be told apart."""

from __future__ import annotations

from itertools import combinations, product

import pytest
from PySide6.QtGui import QColor, QPalette

from app.widgets.tokens import DARK, LIGHT, STATION_STYLES, Tints, dark_palette, light_palette

# W3C, Web Content Accessibility Guidelines 2.2: 1.4.3 for text, 1.4.11 for lines and marks.
TEXT_CONTRAST = 4.5
MARK_CONTRAST = 3.0
ROLES = QPalette.ColorRole


def luminance(colour: str) -> float:
    """Relative luminance as WCAG 2.2 defines it, from sRGB."""
    shares = [
        value / 12.92 if value <= 0.04045 else ((value + 0.055) / 1.055) ** 2.4
        for value in QColor(colour).getRgbF()[:3]
    ]
    return 0.2126 * shares[0] + 0.7152 * shares[1] + 0.0722 * shares[2]


def contrast(one: str, other: str) -> float:
    low, high = sorted((luminance(one), luminance(other)))
    return (high + 0.05) / (low + 0.05)


def test_contrast_agrees_with_the_standard() -> None:
    # Black on white is 21 to 1 by the definition; #777777 on white is the standard's well-known
    # example just under 4.5 (from memory: 4.48).
    assert contrast("#000000", "#ffffff") == pytest.approx(21)
    assert contrast("#777777", "#ffffff") == pytest.approx(4.48, abs=0.01)


@pytest.mark.parametrize("tints", [LIGHT, DARK], ids=["light", "dark"])
def test_text_can_be_read_on_every_ground(tints: Tints) -> None:
    inks = (
        tints.text, tints.quiet_text, tints.disabled_text, tints.accent, tints.error,
        tints.warning, tints.hint,
    )  # fmt: skip
    faint = {
        (ink, ground): round(contrast(ink, ground), 2)
        for ink, ground in product(inks, tints.grounds)
        if contrast(ink, ground) < TEXT_CONTRAST
    }
    assert faint == {}
    assert contrast(tints.on_accent, tints.accent) >= TEXT_CONTRAST
    assert contrast(tints.on_selected, tints.selected) >= TEXT_CONTRAST
    assert contrast(tints.error, tints.refused) >= TEXT_CONTRAST


@pytest.mark.parametrize("style", STATION_STYLES, ids=lambda style: style.letter)
def test_a_station_is_read_in_its_colour(style: object) -> None:
    for tints, dark in ((LIGHT, False), (DARK, True)):
        colour = style.colour(dark=dark)  # type: ignore[attr-defined]
        for ground in (tints.window, tints.field, tints.raised):
            assert contrast(colour, ground) >= TEXT_CONTRAST, (colour, ground)


def test_stations_differ_in_letter_line_and_marker_too() -> None:
    for one, other in combinations(STATION_STYLES, 2):
        assert one.letter != other.letter
        assert one.line != other.line
        assert one.marker != other.marker


@pytest.mark.parametrize(
    ("palette", "tints"), [(light_palette, LIGHT), (dark_palette, DARK)], ids=["light", "dark"]
)
def test_the_palette_of_the_window_wears_these_colours(palette: object, tints: Tints) -> None:
    made = palette()  # type: ignore[operator]
    pairs = {
        ROLES.WindowText: ROLES.Window, ROLES.Text: ROLES.Base, ROLES.ButtonText: ROLES.Button,
        ROLES.ToolTipText: ROLES.ToolTipBase, ROLES.HighlightedText: ROLES.Highlight,
        ROLES.PlaceholderText: ROLES.Base,
    }  # fmt: skip
    for group in (QPalette.ColorGroup.Active, QPalette.ColorGroup.Disabled):
        for ink, ground in pairs.items():
            names = made.color(group, ink).name(), made.color(group, ground).name()
            assert contrast(*names) >= TEXT_CONTRAST, (group, ink)
    assert made.color(ROLES.Window).name() == tints.window
