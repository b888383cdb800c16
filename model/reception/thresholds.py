"""The weakest signal that each mode can be read at, over the noise in 2500 Hz.

All thresholds are ratios of the power of the full carrier, or of the peak of speech, to the noise
in 2500 Hz, the bandwidth in which the decoders of the slotted modes report. For a slotted mode it
is where about half of the slots decode with nothing but noise in the way; fading takes some more.

Sources, beside each mode in short:

- FT8, FT4: S. Franke, B. Somerville, J. Taylor, "The FT4 and FT8 Communication Protocols", QEX,
  July/August 2020. The figures are from memory.
- JT65: S. Franke, J. Taylor, "Open Source Soft-Decision Decoder for the JT65 (63,12) Reed-Solomon
  Code", QEX, May/June 2016. The figure is from memory.
- WSPR, PSK31: P.-T. de Boer, "Signal/noise ratio of digital amateur modes", Electron,
  February 2015.
- Voice: E. A. Laport, Radio Antenna Engineering (McGraw-Hill, 1952), appendix VII: 9 dB in 3 kHz
  for single-sideband telephony, which is 9.8 dB in 2500 Hz.
- Morse by ear: the same appendix has 0 dB for an average operator and 10 to 15 dB less for a
  practised one. The -15 dB are what the authors of the protocols say in their talks; from memory.
"""

from __future__ import annotations

from dataclasses import dataclass

REFERENCE_BANDWIDTH_HZ = 2500.0
# How far the threshold of a mode that is read by ear may lie off, from one operator to the next:
# common practice, no source.
BY_EAR_SPREAD_DB = 3.0


@dataclass(frozen=True)
class Mode:
    """A way to get a message through.

    Attributes
    ----------
    key, label : in files, and in sentences.
    threshold_db : lowest ratio of signal to the noise in 2500 Hz that can be read [dB].
    spread_db : how far that may lie off either way [dB].
    source : of the threshold.
    names : what files call it.
    is_reported : whether its decoder reports the ratio, so that it can be what was heard.
    """

    key: str
    label: str
    threshold_db: float
    spread_db: float
    source: str
    names: tuple[str, ...]
    is_reported: bool = True


_QEX_2020 = "Franke, Somerville and Taylor, QEX July/August 2020; from memory"
_QEX_2016 = "Franke and Taylor, QEX May/June 2016; from memory"
_ELECTRON = "de Boer, Electron, February 2015"
_LAPORT = "Laport, Radio Antenna Engineering, appendix VII"

VOICE = Mode(
    "voice", "voice", 10.0, BY_EAR_SPREAD_DB, _LAPORT, ("SSB", "USB", "LSB", "voice"), False
)
MORSE = Mode(
    "morse", "Morse", -15.0, BY_EAR_SPREAD_DB, f"{_LAPORT}; what practice adds is from memory",
    ("CW", "Morse"), False,
)  # fmt: skip
FT8 = Mode("ft8", "FT8", -21.0, 0.0, _QEX_2020, ("FT8",))
FT4 = Mode("ft4", "FT4", -17.5, 0.0, _QEX_2020, ("FT4",))
MODES = (
    VOICE,
    Mode("psk31", "PSK31", -7.0, 0.0, _ELECTRON, ("PSK31", "BPSK31")),
    MORSE,
    FT4,
    FT8,
    Mode("jt65", "JT65", -25.0, 0.0, _QEX_2016, ("JT65", "JT65A")),
    Mode("wspr", "WSPR", -29.0, 0.0, _ELECTRON, ("WSPR", "WSPR2", "WSPR-2")),
)
BY_NAME = {name.casefold(): mode for mode in MODES for name in (mode.key, *mode.names)}


def mode_named(name: str) -> Mode | None:
    """Return the mode that a file calls so, None where its threshold is not known."""
    return BY_NAME.get(name.strip().casefold())
