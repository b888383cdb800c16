"""Whether a window can open here: its library, asked first, would end the program if not."""

from __future__ import annotations

import ctypes
import os
import sys
from collections.abc import Callable, Mapping
from importlib.util import find_spec
from pathlib import Path

HOW = "without one: counterpoise run FILE"


def why_no_window(environment: Mapping[str, str] = os.environ) -> str:
    """Return in one line why no window can open; nothing where one can."""
    if sys.platform != "linux":
        return ""
    reasons = []
    for platform in _platforms(environment):
        reason = _ASKED.get(platform, _nothing_to_ask)(environment)
        if not reason:
            return ""
        reasons.append(reason)
    return f"no window can open: {'; '.join(reasons)}; {HOW}"


def _platforms(environment: Mapping[str, str]) -> list[str]:
    """Return the ways to a display, in the order in which they are tried."""
    asked = environment.get("QT_QPA_PLATFORM", "")
    if asked:
        return [each.partition(":")[0].strip() for each in asked.split(";")]
    return (["wayland"] if environment.get("WAYLAND_DISPLAY") else []) + ["xcb"]


def _nothing_to_ask(_environment: Mapping[str, str]) -> str:
    return ""


def _wayland(environment: Mapping[str, str]) -> str:
    name = environment.get("WAYLAND_DISPLAY", "wayland-0")
    folder = environment.get("XDG_RUNTIME_DIR", "")
    if not Path(folder, name).exists():
        return f"there is no display {name}"
    return _unloadable("libqwayland.so", "libqwayland-generic.so")


def _xcb(environment: Mapping[str, str]) -> str:
    name = environment.get("DISPLAY", "")
    if not name:
        return "there is no display"
    try:
        library = ctypes.CDLL("libxcb.so.1")
    except OSError as error:
        return _missing(error)
    library.xcb_connect.restype = ctypes.c_void_p
    library.xcb_connect.argtypes = [ctypes.c_char_p, ctypes.c_void_p]
    library.xcb_connection_has_error.argtypes = [ctypes.c_void_p]
    library.xcb_disconnect.argtypes = [ctypes.c_void_p]
    connection = library.xcb_connect(os.fsencode(name), None)
    is_refused = bool(library.xcb_connection_has_error(connection))
    library.xcb_disconnect(connection)
    if is_refused:
        return f"the display {name} does not answer"
    return _unloadable("libqxcb.so")


def _unloadable(*names: str) -> str:
    """Return which system library a plugin of the window's library does not find, or nothing."""
    spec = find_spec("PySide6")
    if spec is None or spec.origin is None:
        return "PySide6 is not installed"
    folder = Path(spec.origin).parent / "Qt" / "plugins" / "platforms"
    plugin = next((path for path in (folder / name for name in names) if path.exists()), None)
    if plugin is None:
        # Elsewhere than in its package it is the system's own and brings what it needs.
        return ""
    try:
        ctypes.CDLL(str(plugin))
    except OSError as error:
        return _missing(error)
    return ""


def _missing(error: OSError) -> str:
    library = str(error).partition(":")[0]
    return f"the system library {library} is missing or does not load"


_ASKED: dict[str, Callable[[Mapping[str, str]], str]] = {"wayland": _wayland, "xcb": _xcb}
