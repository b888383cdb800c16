"""Locators against squares worked by hand from the definition of the system.

The system as the VHF managers of IARU Region 1 adopted it at Maidenhead in 1980: longitude from
180 W and latitude from 90 S, each cut by 18 (20 and 10 degrees, letters A to R), by 10 (2 and 1
degrees, digits), by 24 (5 and 2.5 minutes, letters A to X) and by 10 (30 and 15 seconds, digits).
"""

from __future__ import annotations

from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from model.editing.locator import locator_of, read_locator, spelt

# Worked with paper: 190.8 = 9 x 20 + 5 x 2 + 9 x 5' + 6 x 30", 140.7 = 14 x 10 + 0 + 16 x 2.5' +
# 8 x 15", and so on. North-east, south-west, south-east, north-west, and the edges of the map.
WORKED = [
    (50.7, 10.801, "JO50jq68"),
    (-33.48, -70.599, "FF46qm84"),
    (-41.299, 174.801, "RE78jq68"),
    (21.31, -157.86, "BL11bh64"),
    (0.001, 0.001, "JJ00aa00"),
    (-0.001, -0.001, "II99xx99"),
    (0.011, 179.999, "RJ90xa92"),
    (0.011, 180.0, "AJ00aa02"),
    (0.011, -180.0, "AJ00aa02"),
    (90.0, 0.001, "JR09ax09"),
    (-90.0, -180.0, "AA00aa00"),
    (90.0, 179.99999, "RR99xx99"),
]
LETTERS, NUMBERS = (18, 10, 24, 10), (20.0, 2.0, 1 / 12, 1 / 120)


def corner(locator: str) -> tuple[Fraction, Fraction]:
    """Return the south-western corner of a square by the definition: latitude, longitude [deg]."""
    corners = []
    for start, whole in ((1, 180), (0, 360)):
        value, share = Fraction(-whole, 2), Fraction(whole)
        for character, parts in zip(locator[start::2].upper(), LETTERS, strict=False):
            share /= parts
            value += share * (int(character) if parts == 10 else ord(character) - ord("A"))
        corners.append(value)
    return corners[0], corners[1]


@pytest.mark.parametrize(("latitude", "longitude", "locator"), WORKED)
def test_a_place_has_the_locator_worked_by_hand(
    latitude: float, longitude: float, locator: str
) -> None:
    assert locator_of(latitude, longitude, 8) == locator
    assert locator_of(latitude, longitude) == locator[:6]
    assert locator_of(latitude, longitude, 4) == locator[:4]


@pytest.mark.parametrize("characters", [4, 6, 8])
@pytest.mark.parametrize("locator", [row[2] for row in WORKED])
def test_a_locator_stands_for_the_middle_of_its_square(locator: str, characters: int) -> None:
    width = NUMBERS[characters // 2 - 1]
    south, west = corner(locator[:characters])
    latitude, longitude = read_locator(locator[:characters].lower())
    assert latitude == pytest.approx(float(south) + width / 4, abs=1e-4)
    assert longitude == pytest.approx(float(west) + width / 2, abs=1e-4)
    assert locator_of(latitude, longitude, characters) == locator[:characters]


@given(st.floats(-90, 90), st.floats(-180, 180), st.sampled_from((4, 6, 8)))
def test_every_place_lies_in_the_square_of_its_locator(
    latitude: float, longitude: float, characters: int
) -> None:
    locator = locator_of(latitude, longitude, characters)
    assert spelt(locator) == locator
    south, west = corner(locator)
    width = NUMBERS[characters // 2 - 1]
    # A second of arc is some thirty metres: nearer than that to an edge either square will do.
    second = 1 / 3600 + 1e-9
    east_of_west = (longitude - float(west) + second) % 360 - second
    assert -second <= latitude - float(south) <= width / 2 + second
    assert -2 * second <= east_of_west <= width + 2 * second


@pytest.mark.parametrize(
    "text",
    ["", "JO", "JO5", "JO50j", "JO50jq6", "JO50jq68aa", "SO50", "JS50", "J050", "JO5O", "JO50jy",
     "JO50yj", "JO٣٤", "JO5²", "50JO", "JO 50", "ＪＯ50", "JO50jq6x", "JO50\0"],
)  # fmt: skip
def test_what_is_no_locator_is_refused_in_one_sentence(text: str) -> None:
    with pytest.raises(ValueError, match=r"^A locator reads JO50, JO50jq or JO50jq68: .*\.$"):
        read_locator(text)


def test_a_locator_is_read_in_any_case_and_with_spaces_around() -> None:
    assert read_locator(" jo50JQ ") == read_locator("JO50jq")
    assert spelt(" jo50JQ68 ") == "JO50jq68"
