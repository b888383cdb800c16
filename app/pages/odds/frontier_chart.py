"""The smallest panel for each battery that meets the plan in enough trips, as a picture."""

from __future__ import annotations

from math import isnan

from PySide6.QtCore import QRectF, QSize
from PySide6.QtGui import QPainter
from PySide6.QtWidgets import QWidget

from app.charts.hatch import Hatch
from app.charts.ink import Ink
from app.charts.map_paint import MapFrame, paint_map
from app.charts.map_picture import Curve, MapPicture, Mark, Patch, Point
from app.charts.scale import Scale
from app.pages.odds.sheet import Sheet
from app.widgets.tokens import station_style
from model.editing.resize import Pair
from model.odds.answers import Answers
from model.odds.odds_sizes import OddsFrontier

HEIGHT_LINES = 15
# A scale of ratios has no zero: no panel stands at its foot.
LEAST_W, ROOM = 5.0, 1.25


class FrontierChart(Sheet):
    """A line from battery to battery; below it too few trips meet the plan."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__("battery against panel, for the odds asked for", parent)
        self.shown: MapPicture | None = None

    def show_answers(self, found: Answers) -> None:
        """Show the line of the station asked about; hidden where there is none."""
        sizes = found.sizes
        line = sizes.frontier if sizes is not None else None
        points = _points(line) if line is not None else ()
        self.setVisible(len(points) > 1)
        if line is None or sizes is None or len(points) < 2:
            self.shown = None
            return
        self.shown = _picture(found, line, points, sizes.wanted_share)
        self.setAccessibleDescription(self.shown.words)
        self.renew()

    def paint_now(self, painter: QPainter, size: QRectF, ink: Ink) -> None:
        if self.shown is not None:
            frame = MapFrame.of(self.shown, size, self.font())
            paint_map(painter, frame, size, ink, self.font())

    def sizeHint(self) -> QSize:
        return QSize(420, round(HEIGHT_LINES * self.line_px))

    def minimumSizeHint(self) -> QSize:
        return QSize(260, self.sizeHint().height())


def _points(line: OddsFrontier) -> tuple[Point, ...]:
    """Return battery and panel [Ah], [W] where a panel is enough, the smallest battery first."""
    pairs = zip(line.capacity_ah.tolist(), line.rated_w.tolist(), strict=True)
    return tuple(sorted((ah, watts) for ah, watts in pairs if not isnan(watts)))


def _picture(
    found: Answers, line: OddsFrontier, points: tuple[Point, ...], wanted_share: float
) -> MapPicture:
    now = Pair.of(found.scenario.stations[found.index])
    batteries = [*line.capacity_ah.tolist(), now.capacity_ah]
    panels = [watts for _, watts in (*points, (0.0, now.rated_w)) if watts > 0]
    across = Scale("Battery, Ah", min(batteries) / ROOM, max(batteries) * ROOM)
    low_w = max(min(panels, default=LEAST_W) / ROOM, LEAST_W)
    up = Scale("Panel, W", low_w, max(*panels, 2 * low_w) * ROOM)
    edge = tuple((ah, max(watts, up.low)) for ah, watts in points)
    first, last = edge[0], (across.high, edge[-1][1])
    # Left of the smallest battery that is enough no panel is.
    outline = (
        (across.low, up.low), (across.low, up.high), (first[0], up.high), *edge, last,
        (across.high, up.low),
    )  # fmt: skip
    style = station_style(found.index)
    curve = Curve(((first[0], up.high), *edge, last), style.letter, found.index, style.line, 2.0)
    mark = Mark(now.capacity_ah, max(now.rated_w, up.low), found.index,
                "" if now.rated_w > 0 else "(no panel)")  # fmt: skip
    wanted = f"{round(10 * wanted_share)} of 10"
    legend = (
        (Hatch.FALLING, True, f"meets the plan in fewer than {wanted}"),
        (Hatch.NONE, False, f"in {wanted} or more"),
    )
    words = f"{len(points)} batteries, each with the smallest panel for {wanted}: see the table."
    patch = Patch((outline,), Hatch.FALLING, is_toned=True)
    return MapPicture(across, up, (patch,), (curve,), (mark,), legend, words)
