"""The block diagram of a station, DC and RF, drawn from its wiring; nothing in it is cut off."""

from __future__ import annotations

from dataclasses import dataclass

from app.printing.marks import FRONT, FRONT_STRONG, MM, Mark, Piece, Stroke, box
from app.printing.say import Say
from app.printing.type import line_height, line_of, paragraph, width_of, wrapped
from model.export.wiring import Box, Line, Wiring
from model.support.figures import NBSP, entered

PAD = 1.2 * MM
ROW_GAP = 2.6 * MM
BUS_WIDTH = 2.2 * MM
THICK, THIN = 9.0, 3.0
# A label keeps clear of the fuse on its line.
LABEL_RISE = 0.5 * MM
# A fuse is named that far below its line.
FUSE_DROP = 0.8 * MM
COAX = (3.5, 2.2)
FUSE_WIDE, FUSE_HIGH = 4.0 * MM, 1.6 * MM
# Shares of the width: sources, controller, distribution, loads, tuner, antenna.
SOURCE_AT, SOURCE_WIDE = 0.0, 0.135
MIDDLE_AT, MIDDLE_WIDE = 0.255, 0.145
BUS_AT = 0.487
LOAD_AT, LOAD_WIDE = 0.614, 0.13
TUNER_AT, TUNER_WIDE = 0.782, 0.08
ANTENNA_AT, ANTENNA_WIDE = 0.89, 0.11
LEGEND = "Solid: DC pair. Bold A: its fuse, in plus. Dashed: coax."
KEYING = " Thin: keying lead."


@dataclass(frozen=True)
class _Placed:
    """A box with its place and its lines of text."""

    x: float
    y: float
    width: float
    height: float
    name: tuple[str, ...]
    detail: tuple[str, ...]

    @property
    def middle(self) -> float:
        return self.y + self.height / 2

    @property
    def right(self) -> float:
        return self.x + self.width

    def marks(self) -> list[Mark]:
        pitch = line_height(FRONT)
        found: list[Mark] = [box(self.x, self.y, self.width, self.height, "none", 7.0)]
        lines = [(text, FRONT_STRONG) for text in self.name]
        lines += [(text, FRONT) for text in self.detail]
        top = self.y + (self.height - pitch * len(lines)) / 2
        for number, (text, style) in enumerate(lines):
            left = self.x + (self.width - width_of(text, style)) / 2
            found += line_of(text, left, style).moved(0.0, top + number * pitch)
        return found


def _sized(found: Box, x: float, width: float) -> _Placed:
    name = tuple(wrapped(found.name, width - 2 * PAD, FRONT_STRONG))
    detail = tuple(wrapped(found.detail, width - 2 * PAD, FRONT)) if found.detail else ()
    lines = len(name) + len(detail)
    return _Placed(x, 0.0, width, lines * line_height(FRONT) + 1.6 * MM, name, detail)


def diagram(wiring: Wiring, say: Say, width: float) -> Piece:
    """Return the block diagram in a width, as high as its boxes need."""
    return _Drawing(wiring, say, width).piece()


class _Drawing:
    """Places boxes in rows on both sides of the distribution, then draws the lines."""

    def __init__(self, wiring: Wiring, say: Say, width: float) -> None:
        self._wiring, self._say, self._width = wiring, say, width
        self._placed: dict[str, _Placed] = {}
        self._marks: list[Mark] = []
        self._height = 0.0

    def piece(self) -> Piece:
        self._place()
        for placed in self._placed.values():
            self._marks += placed.marks()
        for line in self._wiring.lines:
            self._draw(line)
        if self._wiring.has_distribution:
            self._draw_bus()
        self._write_legend()
        return Piece(self._height, tuple(self._marks))

    def _place(self) -> None:
        at = {each.key: each for each in self._wiring.boxes}
        left = [["battery"], ["panel", "controller"] if "panel" in at else ["controller"]]
        left += [[key] for key in at if key.startswith(("charger", "extra"))]
        right = [["radio"], ["amplifier"], ["computer"]]
        chain = ["tuner", "antenna"]
        row = 1 if "amplifier" in at else 0
        right[row] += chain
        self._rows([[key for key in keys if key in at] for keys in left], at)
        self._rows([[key for key in keys if key in at] for keys in right], at)
        if any(line.target == "tuner" and line.kind == "DC" for line in self._wiring.lines):
            # The tuner's supply goes below whatever else stands in the way.
            lowest = max(
                placed.y + placed.height
                for key, placed in self._placed.items()
                if key in ("radio", "amplifier", "computer")
            )
            self._tuner_y = lowest + ROW_GAP + 1.8 * line_height(FRONT)
            self._height = max(self._height, self._tuner_y + 1.1 * line_height(FRONT))

    def _write_legend(self) -> None:
        """Write what the lines mean below the antenna."""
        antenna = self._placed["antenna"]
        tuner = self._placed.get("tuner")
        left = tuner.x + tuner.width / 2 + 2.5 * MM if tuner else LOAD_AT * self._width
        x = max(left, (LOAD_AT + LOAD_WIDE) * self._width + 3.0 * MM)
        key = paragraph(_legend(self._wiring), self._width - x, FRONT)
        top = antenna.y + antenna.height + 2.0 * MM
        self._marks += key.moved(x, top)
        self._height = max(self._height, top + key.height)

    def _rows(self, rows: list[list[str]], at: dict[str, Box]) -> None:
        """Place rows of boxes so low that the labels of their lines stand free of each other."""
        pitch = line_height(FRONT)
        bottom, free = 0.0, 0.0
        for keys in rows:
            if not keys:
                continue
            sized = {key: _sized(at[key], *self._span(key)) for key in keys}
            height = max(placed.height for placed in sized.values())
            above = max(self._lines_above(key) for key in keys) * pitch + LABEL_RISE
            y = max(bottom, free + above - height / 2)
            for key, placed in sized.items():
                top = y + (height - placed.height) / 2
                self._placed[key] = _Placed(
                    placed.x, top, placed.width, placed.height, placed.name, placed.detail
                )
            bottom = y + height + ROW_GAP
            free = y + height / 2 + FUSE_DROP + pitch
        self._height = max(self._height, bottom - ROW_GAP)

    def _lines_above(self, key: str) -> int:
        """Return in how many lines the labels at a box stand."""
        joined = [each for each in self._wiring.lines if key in (each.source, each.target)]
        room = (LOAD_AT - BUS_AT) * self._width - 2.0 * MM
        texts = [self._above(line) for line in joined if line.kind == "DC"]
        return max([1, *(len(wrapped(text, room, FRONT)) for text in texts)])

    def _above(self, line: Line) -> str:
        return " · ".join(part for part in (line.label, self._gauge(line)) if part)

    def _span(self, key: str) -> tuple[float, float]:
        if key == "controller":
            at, wide = MIDDLE_AT, MIDDLE_WIDE
        elif key in ("radio", "amplifier", "computer"):
            at, wide = LOAD_AT, LOAD_WIDE
        elif key == "tuner":
            at, wide = TUNER_AT, TUNER_WIDE
        elif key == "antenna":
            at, wide = ANTENNA_AT, ANTENNA_WIDE
        elif key.startswith(("extra", "charger")):
            at, wide = SOURCE_AT, SOURCE_WIDE + 0.06
        else:
            at, wide = SOURCE_AT, SOURCE_WIDE
        return at * self._width, wide * self._width

    @property
    def _bus(self) -> float:
        return BUS_AT * self._width

    def _draw_bus(self) -> None:
        joined = [
            self._placed[key].middle
            for line in self._wiring.lines
            if line.kind == "DC" and "distribution" in (line.source, line.target)
            for key in (line.source, line.target)
            if key != "distribution" and not (key == "tuner" and line.kind == "DC")
        ]
        joined += [self._tuner_y] if hasattr(self, "_tuner_y") else []
        top, bottom = min(joined) - 2.0 * MM, max(joined) + 2.0 * MM
        top = max(top, 0.0)
        self._marks.append(
            box(self._bus - BUS_WIDTH / 2, top, BUS_WIDTH, bottom - top, "dark", 0.0)
        )
        self._name_bus(bottom)

    def _name_bus(self, bottom: float) -> None:
        """Write what the bar is: beside its foot where nothing stands there, else below it."""
        words, pitch = "Distribution", line_height(FRONT_STRONG)
        wide = width_of(words, FRONT_STRONG)
        others = [placed for placed in self._placed.values() if placed.x < self._bus]
        # Below the lowest line on the left there stands its fuse.
        lowest = max(max(each.y + each.height, each.middle + MM + pitch) for each in others)
        top = max(bottom - pitch, lowest)
        at = self._bus - BUS_WIDTH - wide
        self._marks += line_of(words, at, FRONT_STRONG).moved(0.0, top)
        self._height = max(self._height, top + pitch)

    def _draw(self, line: Line) -> None:
        if line.kind == "coax":
            self._draw_coax(line)
        elif line.kind == "keying":
            upper, lower = self._placed["radio"], self._placed["amplifier"]
            x = upper.x + 5.0 * MM
            ends = ((x, upper.y + upper.height), (x, lower.y))
            self._marks.append(Stroke(ends, THIN))
        elif line.kind == "DC":
            self._draw_dc(line)
        elif line.source in self._placed:
            self._refuse(self._placed[line.source])

    def _refuse(self, panel: _Placed) -> None:
        """Write beside a panel without a controller that it stays alone."""
        room = self._bus - panel.right - 6.0 * MM
        lines = wrapped("No charge controller: do not connect", room, FRONT_STRONG)
        top = panel.middle - line_height(FRONT) * len(lines) / 2
        for number, text in enumerate(lines):
            piece = line_of(text, panel.right + 2.0 * MM, FRONT_STRONG)
            self._marks += piece.moved(0.0, top + number * line_height(FRONT))

    def _draw_coax(self, line: Line) -> None:
        source, target = self._placed[line.source], self._placed[line.target]
        if line.source == "radio" and line.target == "amplifier":
            x = source.right - 5.0 * MM
            ends = ((x, source.y + source.height), (x, target.y))
        else:
            ends = ((source.right, source.middle), (target.x, target.middle))
        self._marks.append(Stroke(ends, THICK * 0.7, COAX))

    def _draw_dc(self, line: Line) -> None:
        if line.target == "tuner":
            tuner = self._placed["tuner"]
            x = tuner.x + tuner.width / 2
            y = self._tuner_y
            points = ((self._bus, y), (x, y), (x, tuner.y + tuner.height))
            self._marks.append(Stroke(points, THICK))
            self._label(line, self._bus, LOAD_AT * self._width + 20.0 * MM, y, from_left=True)
            return
        first, last = line.source, line.target
        begin = self._bus if first == "distribution" else self._placed[first].right
        end = self._bus if last == "distribution" else self._placed[last].x
        if first == "distribution" and self._placed[last].x < self._bus:
            # A load that stands among the sources.
            begin, end = self._placed[last].right, self._bus
        key = last if first == "distribution" else first
        y = self._placed[key].middle
        self._marks.append(Stroke(((begin, y), (end, y)), THICK))
        at_bus = first == "distribution" and begin == self._bus
        near_left = at_bus or first == "battery" or first.startswith("charger")
        self._label(line, begin, end, y, from_left=near_left)

    def _label(self, line: Line, begin: float, end: float, y: float, *, from_left: bool) -> None:
        """Write number and gauge above a line, its fuse below, the fuse drawn at its place."""
        room = end - begin - 2.0 * MM
        pitch = line_height(FRONT)
        lines = wrapped(self._above(line), room, FRONT)
        for number, text in enumerate(lines):
            left = begin + 1.0 * MM + (room - width_of(text, FRONT)) / 2
            top = y - LABEL_RISE - pitch * (len(lines) - number)
            self._marks += line_of(text, left, FRONT).moved(0.0, top)
        if not line.is_fused:
            return
        at = begin + 1.4 * MM if from_left else end - BUS_WIDTH / 2 - 1.4 * MM - FUSE_WIDE
        self._marks += fuse_marks(at, y)
        words = fuse_words(line)
        left = begin + 1.0 * MM + (room - width_of(words, FRONT_STRONG)) / 2
        self._marks += line_of(words, left, FRONT_STRONG).moved(0.0, y + FUSE_DROP)

    def _gauge(self, line: Line) -> str:
        sizes = list(dict.fromkeys(self._say.conductor(lead) for lead in line.leads))
        return "/".join(sizes[:2]) if len(sizes) < 3 else "mixed"


def fuse_marks(x: float, y: float) -> list[Mark]:
    """Return a fuse on a level line."""
    return [
        box(x, y - FUSE_HIGH / 2, FUSE_WIDE, FUSE_HIGH, "none", 6.0),
        Stroke(((x, y), (x + FUSE_WIDE, y)), THIN),
    ]


def fuse_words(line: Line) -> str:
    """Return the fuse of a line: what is entered, else what suits it."""
    poles = " + and −" if line.both_poles else ""
    if line.fuse_a is not None:
        fault = "!" if line.faults else ""
        return f"{entered(line.fuse_a, 'A')}{poles}{fault}"
    if line.fit_a is None:
        return "no fuse fits!"
    return f"fit{NBSP}{entered(line.fit_a, 'A')}{poles}"


def _legend(wiring: Wiring) -> str:
    """Return what the lines mean; of the keying lead only where there is one."""
    has_keying = any(line.kind == "keying" for line in wiring.lines)
    return LEGEND + KEYING if has_keying else LEGEND
