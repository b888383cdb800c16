"""The offers under the headline: fixes and what-ifs in at most two lines, the rest in a menu."""

from __future__ import annotations

from PySide6.QtCore import QEvent, QObject, QPoint, QRect, QSize, Qt, Signal
from PySide6.QtGui import QAction, QResizeEvent
from PySide6.QtWidgets import QLabel, QMenu, QPushButton, QToolButton, QWidget

from app.editors.fields.editor import plain_tip
from app.state.display import Display
from model.advice.offers import Offer
from model.scenario.scenario import Scenario

GROUPS = {"fix": "Fix", "act now": "Act now", "what if": "What if"}
OUTDATED = "Out of date: being worked out again for what is entered now"
GAP_PX, LINE_GAP_PX, LINES = 8, 4, 2
# Narrower than this no chip says anything. [px]
LEAST_CHIP_PX = 120


class Chips(QWidget):
    """Shows each offer as a button that says what it changes, what comes of it and its price.

    ``previewed`` carries the changed scenario while an offer is pointed at or has the keyboard,
    and None afterwards; ``applied`` the scenario and what was done.
    """

    previewed = Signal(object)
    applied = Signal(object, str)

    def __init__(self, display: Display, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._display = display
        self._offers: tuple[Offer, ...] = ()
        # Whether all offers are kept in the menu, which then needs no line of its own.
        self.is_short = self._is_previewing = False
        self.chips: list[Chip] = []
        self._heads = {group: QLabel(words, self) for group, words in GROUPS.items()}
        self.menu = QMenu(self)
        self.menu.hovered.connect(self._on_hovered)
        self.menu.aboutToHide.connect(self._on_menu_left)
        self.menu.triggered.connect(self._on_triggered)
        self.more = QToolButton(self)
        self.more.setPopupMode(QToolButton.ToolButtonPopupMode.InstantPopup)
        self.more.setMenu(self.menu)
        for widget in (*self._heads.values(), self.more):
            widget.hide()
        display.units_changed.connect(self._on_units_changed)

    def show_outdated(self) -> None:
        """Turn every offer grey until there are newer ones."""
        self.more.setEnabled(False)
        # All of them first: the keyboard goes from one that turns grey to the next, which is then
        # no longer one to be shown either.
        for chip in self.chips:
            chip.is_current = False
        if self._is_previewing:
            self._on_previewed(None)
        for chip in self.chips:
            chip.setEnabled(False)
            chip.setToolTip(OUTDATED)

    def show_offers(self, offers: tuple[Offer, ...]) -> None:
        """Show these offers, in place of earlier ones."""
        self._offers = offers
        while len(self.chips) < len(offers):
            chip = Chip(self._display, self)
            chip.previewed.connect(self._on_previewed)
            chip.applied.connect(self.applied)
            self.chips.append(chip)
        for chip, offer in zip(self.chips, offers, strict=False):
            chip.show_offer(offer)
        self.more.setEnabled(True)
        self._lay_out()
        self.updateGeometry()

    def _on_units_changed(self) -> None:
        for chip in self.chips:
            chip.show_words()
        self.menu.clear()
        self._lay_out()
        self.updateGeometry()

    def _on_previewed(self, changed: Scenario | None) -> None:
        self._is_previewing = changed is not None
        self.previewed.emit(changed)

    def keep_short(self, is_short: bool) -> None:
        """Keep all offers in the menu, where the window is low."""
        if is_short != self.is_short:
            self.is_short = is_short
            self._lay_out()
            self.updateGeometry()

    def hasHeightForWidth(self) -> bool:
        return True

    def heightForWidth(self, width: int) -> int:
        places = self._places(width)[0]
        return max((place.bottom() + 1 for _, place in places), default=0)

    def sizeHint(self) -> QSize:
        if self.is_short:
            # Beside something else: as wide as its button, so that the rest is for that.
            return QSize(self._short_px(), self.more.sizeHint().height())
        width = self.width()
        return QSize(width, self.heightForWidth(width))

    def minimumSizeHint(self) -> QSize:
        return QSize(self._short_px() if self.is_short else LEAST_CHIP_PX, 0)

    def _short_px(self) -> int:
        return max(self._more_px(len(self._offers)), LEAST_CHIP_PX) if self._offers else 0

    def _places(self, width: int) -> tuple[list[tuple[QWidget, QRect]], int]:
        """Return where what fits into the lines stands, and how many offers do not."""
        flow = _Flow(width)
        placed: list[tuple[QWidget, QRect]] = []
        shown = 0 if self.is_short else len(self._offers)
        told: set[str] = set()
        for number, (chip, offer) in enumerate(zip(self.chips, self._offers[:shown], strict=False)):
            head = self._heads[offer.group]
            widgets: list[QWidget] = [chip] if offer.group in told else [head, chip]
            sizes = [each.sizeHint() for each in widgets]
            # Behind the last line stands the menu, where anything is left for it.
            kept_px = self._more_px() if number < len(self._offers) - 1 else 0
            places = flow.add(sizes, kept_px)
            if places is None:
                shown = number
                break
            told.add(offer.group)
            placed += zip(widgets, places, strict=True)
        left = len(self._offers) - shown
        if left:
            hint = QSize(self._more_px(left), self.more.sizeHint().height())
            place = flow.add([hint], 0) or [QRect(QPoint(0, flow.bottom), hint)]
            placed.append((self.more, place[0]))
        return placed, left

    def _more_words(self, left: int) -> str:
        words = "Fix and what if" if left == len(self._offers) else "More"
        return f"{words} ({left})"

    def _more_px(self, left: int = 9) -> int:
        metrics = self.more.fontMetrics()
        return metrics.horizontalAdvance(self._more_words(left)) + 2 * metrics.height()

    def _lay_out(self) -> None:
        places, left = self._places(self.width())
        seen = {id(widget) for widget, _ in places}
        for widget in (*self._heads.values(), *self.chips, self.more):
            widget.setVisible(id(widget) in seen)
        for widget, place in places:
            widget.setGeometry(place)
        if left:
            self.more.setText(self._more_words(left))
            self.more.setAccessibleName(f"{self._more_words(left)} offers")
        self._fill_menu(self._offers[len(self._offers) - left :])

    def _fill_menu(self, offers: tuple[Offer, ...]) -> None:
        if [action.data() for action in self.menu.actions()] == list(offers):
            return
        self.menu.clear()
        for offer in offers:
            words = f"{GROUPS[offer.group]}: {self._display.sentence(offer.told)}"
            self.menu.addAction(words.replace("&", "&&")).setData(offer)

    def _on_hovered(self, action: QAction) -> None:
        self.previewed.emit(action.data().changed)

    def _on_menu_left(self) -> None:
        self.previewed.emit(None)

    def _on_triggered(self, action: QAction) -> None:
        offer: Offer = action.data()
        self.applied.emit(offer.changed, self._display.sentence(offer.words))

    def resizeEvent(self, event: QResizeEvent) -> None:
        super().resizeEvent(event)
        self._lay_out()

    def changeEvent(self, event: QEvent) -> None:
        super().changeEvent(event)
        if event.type() == QEvent.Type.FontChange:
            self._lay_out()
            self.updateGeometry()


class _Flow:
    """Puts one thing after another into at most two lines of a width."""

    def __init__(self, width: int) -> None:
        self._width = max(width, LEAST_CHIP_PX)
        self._x = self._y = self._line = 0
        self.bottom = 0

    def add(self, sizes: list[QSize], kept_px: int) -> list[QRect] | None:
        """Return where things that stay together stand; None where there is no room for them.

        What is wider than a line is cut to it. ``kept_px`` stays free at the end of the last line.
        """
        total = sum(size.width() for size in sizes) + GAP_PX * (len(sizes) - 1)
        room = self._width - self._x - (kept_px if self._line == LINES - 1 else 0)
        if total > room and self._x:
            if self._line == LINES - 1:
                return None
            self._line, self._x, self._y = self._line + 1, 0, self.bottom + LINE_GAP_PX
            room = self._width - (kept_px if self._line == LINES - 1 else 0)
        last_px = sizes[-1].width() - max(total - room, 0)
        if last_px < min(LEAST_CHIP_PX, sizes[-1].width()):
            return None
        height = max(size.height() for size in sizes)
        places = []
        for number, size in enumerate(sizes):
            width = last_px if number == len(sizes) - 1 else size.width()
            below = (height - size.height()) // 2
            places.append(QRect(self._x, self._y + below, width, size.height()))
            self._x += width + GAP_PX
        self.bottom = max(self.bottom, self._y + height)
        return places


class Chip(QPushButton):
    """One offer."""

    previewed = Signal(object)
    applied = Signal(object, str)

    def __init__(self, display: Display, parent: QWidget) -> None:
        super().__init__(parent)
        self._display = display
        self._offer: Offer | None = None
        self.is_current = False
        self.setAutoDefault(False)
        self.clicked.connect(self._on_clicked)
        self.installEventFilter(self)

    def show_offer(self, offer: Offer) -> None:
        """Show an offer; it can be applied from now on."""
        self._offer, self.is_current = offer, True
        self.setEnabled(True)
        self.show_words()

    @property
    def _told(self) -> str:
        return self._display.sentence(self._offer.told) if self._offer is not None else ""

    def show_words(self) -> None:
        """Say the offer in the units shown."""
        if self._offer is None:
            return
        words = f"{GROUPS[self._offer.group]}: {self._told}"
        self.setAccessibleName(words)
        if self.is_current:
            self.setToolTip(plain_tip(f"{words}. Point to preview, click to apply"))
        self._elide()

    def sizeHint(self) -> QSize:
        """Return the size with all of the words."""
        room = self.fontMetrics().horizontalAdvance(self._told) + self.fontMetrics().height() * 1.4
        return QSize(round(room), super().sizeHint().height())

    def minimumSizeHint(self) -> QSize:
        return QSize(LEAST_CHIP_PX, super().minimumSizeHint().height())

    def _elide(self) -> None:
        if self._offer is not None:
            room = self.width() - self.fontMetrics().height()
            words = self.fontMetrics().elidedText(self._told, Qt.TextElideMode.ElideRight, room)
            self.setText(words.replace("&", "&&"))

    def resizeEvent(self, event: QResizeEvent) -> None:
        super().resizeEvent(event)
        self._elide()

    def _on_clicked(self) -> None:
        if self._offer is not None:
            words = self._display.sentence(self._offer.words)
            self.applied.emit(self._offer.changed, words)

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        if self._offer is not None and self.is_current:
            if event.type() in (QEvent.Type.Enter, QEvent.Type.FocusIn):
                self.previewed.emit(self._offer.changed)
            elif event.type() in (QEvent.Type.Leave, QEvent.Type.FocusOut):
                self.previewed.emit(None)
        return super().eventFilter(watched, event)
