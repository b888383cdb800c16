"""What an amateur band is called by its frequency.

Edges as wide as any region has them: ITU Radio Regulations, article 5; from memory.
"""

from __future__ import annotations

import re

BANDS_MHZ = (
    (1.8, 2.0, "160 m"), (3.5, 4.0, "80 m"), (5.25, 5.45, "60 m"), (7.0, 7.3, "40 m"),
    (10.1, 10.15, "30 m"), (14.0, 14.35, "20 m"), (18.068, 18.168, "17 m"), (21.0, 21.45, "15 m"),
    (24.89, 24.99, "12 m"), (28.0, 29.7, "10 m"), (50.0, 54.0, "6 m"), (144.0, 148.0, "2 m"),
    (420.0, 450.0, "70 cm"),
)  # fmt: skip
BAND_NAMES = frozenset(name for _, _, name in BANDS_MHZ)
OTHER_BAND = "another band"
_METRES = re.compile(r"(\d{1,4})\s*(c?m)", re.IGNORECASE)


def band_at(frequency_mhz: float) -> str:
    """Return the band that a frequency lies in.

    Parameters
    ----------
    frequency_mhz : of the carrier [MHz].
    """
    for low, high, name in BANDS_MHZ:
        if low <= frequency_mhz <= high:
            return name
    return OTHER_BAND


def band_named(text: str) -> str:
    """Return a band as it is written here: ``40M`` is 40 m; what is no wavelength stays."""
    plain = " ".join(text.split())
    found = _METRES.fullmatch(plain)
    return f"{int(found[1])} {found[2].lower()}" if found else plain
