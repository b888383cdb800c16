"""The program in the menu of a desktop: entry, icon and type of file, put there and taken away.

Places and formats are those of the free desktops' specifications (desktop entry, icon theme, shared
MIME database); elsewhere nothing is done.
"""

from __future__ import annotations

import os
import shutil
import subprocess
import sys
from contextlib import suppress
from pathlib import Path

from app.cli.outputs import OutputError, write_text
from app.resources import resource
from model.files.atomic_write import SaveError, reason_of, write_data

# Who starts the program from a checkout leaves here what starts it.
START = "COUNTERPOISE_START"
ELSEWHERE = (
    "a menu entry is made on Linux and other free desktops; on Windows and macOS make a shortcut"
    " or an alias of the program"
)
ENTRY = "applications/counterpoise.desktop"
# Where each goes below the folder of shared data, and where it comes from.
COPIED = {
    "icons/hicolor/scalable/apps/counterpoise.svg": "assets/icons/counterpoise.svg",
    "mime/packages/counterpoise.xml": "assets/counterpoise.xml",
}
_REFRESHED = (("update-mime-database", "mime"), ("update-desktop-database", "applications"))


def install() -> int:
    """Put entry, icon and type of file where this person's desktop looks; return the exit code."""
    if not _is_free_desktop():
        raise OutputError(ELSEWHERE)
    made = {ENTRY: entry(command()).encode()}
    made |= {name: resource(asset).read_bytes() for name, asset in COPIED.items()}
    for name, data in made.items():
        path = data_home() / name
        try:
            path.parent.mkdir(parents=True, exist_ok=True)
            write_data(data, path)
        except OSError as error:
            raise OutputError(f"{path}: cannot be written: {reason_of(error)}") from None
        except SaveError as error:
            raise OutputError(str(error)) from None
    _refresh()
    write_text("".join(f"made {data_home() / name}\n" for name in made), "-")
    return 0


def remove() -> int:
    """Take away what ``install`` made; return the exit code."""
    if not _is_free_desktop():
        raise OutputError(ELSEWHERE)
    taken = []
    for name in (ENTRY, *COPIED):
        path = data_home() / name
        try:
            path.unlink()
            taken.append(path)
        except FileNotFoundError:
            continue
        except OSError as error:
            raise OutputError(f"{path}: cannot be removed: {reason_of(error)}") from None
    _refresh()
    said = "".join(f"removed {path}\n" for path in taken)
    write_text(said or "there was nothing to remove\n", "-")
    return 0


def entry(words: list[str]) -> str:
    """Return the text of the desktop entry that starts the program by these words."""
    started = " ".join(_quoted(word) for word in words)
    return (
        "[Desktop Entry]\n"
        "Type=Application\n"
        "Version=1.1\n"
        "Name=Counterpoise\n"
        "GenericName=Portable station planner\n"
        "Comment=Weigh one portable radio station against another\n"
        "Keywords=amateur radio;battery;solar;portable;\n"
        "Categories=Education;\n"
        "Icon=counterpoise\n"
        "StartupWMClass=counterpoise\n"
        "MimeType=application/x-counterpoise+toml;\n"
        f"Exec={started} %f\n"
        "Terminal=false\n"
    )


def command() -> list[str]:
    """Return the words that start this copy of the program from any folder."""
    if start := os.environ.get(START):
        return ["sh", start]
    if getattr(sys, "frozen", False):
        return [sys.executable]
    script = Path(sys.executable).with_name("counterpoise")
    return [str(script)] if script.exists() else [sys.executable, "-P", "-m", "app"]


def data_home() -> Path:
    """Return the folder of this person's shared data."""
    given = os.environ.get("XDG_DATA_HOME", "")
    return Path(given) if Path(given).is_absolute() else Path.home() / ".local" / "share"


def _is_free_desktop() -> bool:
    return sys.platform not in ("win32", "darwin")


def _quoted(word: str) -> str:
    """Return a word of Exec, quoted as the desktop entry asks; % begins a field there."""
    escaped = "".join(f"\\{sign}" if sign in '"`$\\' else sign for sign in word)
    # The value of a key is unescaped before its words are.
    return '"' + escaped.replace("\\", "\\\\").replace("%", "%%") + '"'


def _refresh() -> None:
    """Let the desktop look again, by the tools that are there; it does so by itself as well."""
    for tool, folder in _REFRESHED:
        path = data_home() / folder
        if path.is_dir() and (found := shutil.which(tool)):
            with suppress(OSError, subprocess.TimeoutExpired):
                subprocess.run([found, str(path)], capture_output=True, timeout=60, check=False)
