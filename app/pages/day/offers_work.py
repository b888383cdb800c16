"""Offers of the headline: worked out beside the window, previewed, applied on a click."""

from __future__ import annotations

from typing import cast

from PySide6.QtCore import QObject

from app.pages.day.chips import Chips
from app.pages.day.now_work import NowWork
from app.pages.day_view import DayView
from app.state.document import Document
from app.state.session import Session
from app.work.jobs import Jobs
from app.work.turns import Turns
from model.advice.offers import Offer, search_offers
from model.engine.comparison import Comparison, search_comparison
from model.library.catalogue import Library
from model.scenario.scenario import Scenario


class OffersWork(QObject):
    """Looks for offers once the advice is there; any change ends that, and ends a preview."""

    def __init__(
        self,
        document: Document,
        session: Session,
        bar: Chips,
        day: DayView,
        library: Library,
        parent: QObject | None = None,
    ) -> None:
        super().__init__(parent)
        self._document, self._session, self._bar, self._day = document, session, bar, day
        self._library = library
        self._jobs, self._preview = Jobs(self), Turns(self)
        self._is_previewing = False
        self._now: NowWork | None = None
        document.scenario_changed.connect(self._forget)
        document.begun.connect(self._on_begun)
        session.advice_changed.connect(self._start)
        session.advice_failed.connect(self._start)
        self._jobs.finished.connect(self._on_finished)
        self._preview.found.connect(self._show)
        bar.previewed.connect(self.preview)
        bar.applied.connect(self._on_applied)

    @property
    def is_settled(self) -> bool:
        """Whether nobody is at work."""
        return not self._jobs.is_running and not self._preview.is_at_work

    def close(self) -> None:
        """Forget the work and wait for the worker: to be called before the window goes."""
        self._preview.drop()
        self._jobs.close()

    def _forget(self) -> None:
        self._jobs.cancel()
        self._preview.drop()
        self._is_previewing = False
        self._bar.show_outdated()

    def _on_begun(self) -> None:
        """Show no offer: those there are belong to another scenario."""
        self._bar.show_offers(())

    def _start(self, _advice: object) -> None:
        comparison = self._session.comparison
        if comparison is not None:
            from_now = self._now.search(comparison) if self._now is not None else None
            self._jobs.start(from_now or search_offers(comparison, self._library))

    def go_on_from(self, now: NowWork) -> None:
        """Look for offers, and show previews, from a reading on where there is one."""
        self._now = now
        now.changed.connect(self._on_now)

    def _on_now(self) -> None:
        self._jobs.cancel()
        self._bar.show_outdated()
        self._start(None)

    def _show(self, comparison: Comparison) -> None:
        self._day.show_comparison(self._now.seen(comparison) if self._now else comparison)

    def _on_finished(self, _number: int, value: object) -> None:
        self._bar.show_offers(cast("tuple[Offer, ...]", value))

    def preview(self, changed: Scenario | None) -> None:
        """Show the curves of a scenario that is only looked at, or again those of the document."""
        self._preview.drop()
        comparison = self._session.comparison
        if changed is not None:
            self._is_previewing = True
            self._preview.begin(search_comparison(changed))
        elif self._is_previewing and comparison is not None:
            self._is_previewing = False
            self._show(comparison)

    def _on_applied(self, changed: Scenario, text: str) -> None:
        self._document.replace(text, changed)
