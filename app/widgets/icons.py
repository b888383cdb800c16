"""Line icons of our own, drawn in the colour of the text beside them."""

from __future__ import annotations

from functools import lru_cache

from PySide6.QtCore import QByteArray, QEvent, QObject, QSize, Qt
from PySide6.QtGui import QIcon, QPainter, QPixmap
from PySide6.QtSvg import QSvgRenderer
from PySide6.QtWidgets import QAbstractButton

from app.resources import resource
from app.widgets.tokens import tints

SCALE = 3


@lru_cache(maxsize=1)
def drawings() -> dict[str, str]:
    """Return every drawing by its name; none where the folder is missing.

    Asked for once on the disk's thread, so that no icon waits for a disk later.
    """
    try:
        paths = list(resource("assets/icons").glob("*.svg"))
        return {path.stem: path.read_text(encoding="utf-8") for path in paths}
    except OSError:
        return {}


@lru_cache(maxsize=32)
def icon(name: str, colour: str, side_px: int) -> QIcon:
    """Return an icon of assets/icons in a colour, sharp on screens of up to three dots a pixel."""
    drawing = drawings().get(name, "").replace("currentColor", colour)
    if not drawing:
        return QIcon()
    renderer = QSvgRenderer(QByteArray(drawing.encode()))
    picture = QPixmap(QSize(side_px, side_px) * SCALE)
    picture.fill(Qt.GlobalColor.transparent)
    with QPainter(picture) as painter:
        renderer.render(painter)
    picture.setDevicePixelRatio(SCALE)
    return QIcon(picture)


class IconDress(QObject):
    """Keeps a button's icon in the colour of its text and in the height of a line."""

    def __init__(self, button: QAbstractButton, name: str) -> None:
        super().__init__(button)
        self._button, self._name = button, name
        button.installEventFilter(self)
        self._dress()

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        if event.type() in (QEvent.Type.PaletteChange, QEvent.Type.FontChange):
            self._dress()
        return super().eventFilter(watched, event)

    def _dress(self) -> None:
        side_px = round(self._button.fontMetrics().height() * 1.1)
        self._button.setIconSize(QSize(side_px, side_px))
        self._button.setIcon(icon(self._name, tints().text, side_px))
