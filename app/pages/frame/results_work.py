"""What feeds the results: each run, its words, the advice, and the odds once the hand rests."""

from __future__ import annotations

from typing import cast

from PySide6.QtCore import QObject, QTimer

from app.pages.day.now_work import NowWork
from app.pages.lenses import Lenses
from app.pages.results.panel import VerdictPanel
from app.state.document import Document
from app.state.session import Session
from app.work.jobs import Jobs
from model.engine.comparison import Comparison
from model.odds.odds import FIRST_TRIPS, Odds, search_odds
from model.odds.rows import Rows

# Results of a moment ago are marked once their successors are that late: usually they are not.
LATE_MS = 250


class ResultsWork(QObject):
    """Shows results of each comparison when the window asks for it, after its curves.

    The odds are those that the lens of the odds has worked out for the same scenario. While nobody
    looks through it, as many trial trips as its first answer takes run beside the window once the
    advice is there: they are the same trips, so that both say the same. Any change ends that.
    """

    def __init__(
        self,
        document: Document,
        session: Session,
        lenses: Lenses,
        panel: VerdictPanel,
        now: NowWork,
    ) -> None:
        super().__init__(panel)
        self._document, self._session = document, session
        self._lenses, self._panel, self._now = lenses, panel, now
        now.changed.connect(self._on_now)
        self._odds: Odds | None = None
        self._is_followed = False
        self._jobs = Jobs(self)
        self._late = QTimer(self, singleShot=True, interval=LATE_MS)
        self._late.timeout.connect(panel.show_outdated)
        document.scenario_changed.connect(self._on_changed)
        document.begun.connect(self._on_begun)
        session.verdict_changed.connect(panel.show_verdict)
        words = panel.words
        session.advice_started.connect(words.show_looking)
        session.advice_changed.connect(words.show_advice)
        session.advice_failed.connect(words.show_no_advice)
        session.advice_changed.connect(self._ask_odds)
        session.advice_failed.connect(self._ask_odds)
        lenses.changed.connect(self._on_lens)
        self._jobs.finished.connect(self._on_finished)
        self._jobs.failed.connect(self._on_failed)

    @property
    def is_settled(self) -> bool:
        """Whether nobody is at work on the odds."""
        return not self._jobs.is_running

    def close(self) -> None:
        """Forget the work and wait for the worker: to be called before the window goes."""
        self._late.stop()
        self._jobs.close()

    def _on_changed(self) -> None:
        self._jobs.cancel()
        if not self._late.isActive():
            self._late.start()

    def _on_begun(self) -> None:
        self._late.stop()
        self._odds = None
        self._panel.show_waiting(self._document.scenario)

    def show_comparison(self, comparison: Comparison) -> None:
        """Show the results of a comparison, of the scenario as it is or of a moment ago."""
        self._late.stop()
        self._panel.show_comparison(self._now.seen(comparison), self._now.basis(comparison))
        if comparison.scenario is not self._document.scenario:
            self._late.start()

    def _on_now(self) -> None:
        if self._session.comparison is not None:
            self.show_comparison(self._session.comparison)

    def _ask_odds(self, _advice: object = None) -> None:
        comparison = self._session.comparison
        if comparison is None or self._are_known() or self._lenses.current == "odds":
            return
        self._jobs.start(search_odds(comparison.scenario, FIRST_TRIPS))

    def _are_known(self) -> bool:
        return self._odds is not None and self._odds.scenario is self._document.scenario

    def _on_lens(self, key: str) -> None:
        if key == "odds":
            self._jobs.cancel()
            if not self._is_followed:
                self._is_followed = True
                self._follow()
        elif self._session.is_settled:
            self._ask_odds()

    def _follow(self) -> None:
        from app.pages.odds.page import OddsPage

        page = self._lenses.made["odds"].view
        assert isinstance(page, OddsPage)
        page.work.rows_found.connect(self._on_rows)

    def _on_rows(self, rows: Rows) -> None:
        self._take(rows.first)

    def _on_finished(self, _number: int, value: object) -> None:
        self._take(cast(Odds, value))

    def _take(self, found: Odds) -> None:
        self._odds = found
        self._panel.show_odds(found)

    def _on_failed(self, _number: int, fault: str) -> None:
        self._odds = None
        self._panel.show_odds(None, fault)
