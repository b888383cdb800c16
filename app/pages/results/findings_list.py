"""Every finding of the scenario; each is a button that leads to its field."""

from __future__ import annotations

from PySide6.QtCore import Qt, Signal
from PySide6.QtWidgets import QLabel, QVBoxLayout, QWidget

from app.pages.results.wrapped_button import WrappedButton
from app.state.display import Display
from model.editing.field_facts import place_words
from model.findings.rules import Finding

WIDTH_DIGITS = 72
MARKS = {"error": "✕ error", "warning": "▲ warning", "hint": "• hint"}


class FindingsList(QWidget):
    """Errors first, then warnings and hints."""

    jump_wanted = Signal(str)

    def __init__(self, display: Display, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._display = display
        self._none = QLabel("Nothing was found.")
        self._buttons: list[_FindingButton] = []
        self._whole = QVBoxLayout(self)
        self._whole.setContentsMargins(0, 0, 0, 0)
        self._whole.setSpacing(1)
        self._whole.addWidget(self._none)
        self.setMinimumWidth(self.fontMetrics().horizontalAdvance("0") * WIDTH_DIGITS)
        self.setAccessibleName("findings")
        self.setFocusPolicy(Qt.FocusPolicy.ClickFocus)
        display.units_changed.connect(self._on_units_changed)

    def show_findings(self, findings: tuple[Finding, ...]) -> None:
        """Show these findings."""
        while len(self._buttons) < len(findings):
            button = _FindingButton(self._display)
            button.jump_wanted.connect(self.jump_wanted)
            self._buttons.append(button)
            self._whole.addWidget(button)
        for button, finding in zip(self._buttons, findings, strict=False):
            button.show_finding(finding)
            button.show()
        for button in self._buttons[len(findings) :]:
            button.hide()
        self._none.setVisible(not findings)

    def _on_units_changed(self) -> None:
        for button in self._buttons:
            button.show_again()

    def take_focus(self) -> None:
        """Give the keyboard to the first finding; without one, to the list itself."""
        is_empty = not self._buttons or self._buttons[0].isHidden()
        (self if is_empty else self._buttons[0]).setFocus()


class _FindingButton(WrappedButton):
    """One finding: its place and its sentence."""

    jump_wanted = Signal(str)

    def __init__(self, display: Display) -> None:
        super().__init__()
        self._display = display
        self._finding: Finding | None = None
        self.clicked.connect(self._on_clicked)

    def show_finding(self, finding: Finding) -> None:
        if finding == self._finding:
            return
        self._finding = finding
        self.show_again()
        self.setToolTip("Go to this field")

    def show_again(self) -> None:
        """Show the same finding in the units shown now."""
        finding = self._finding
        if finding is not None:
            place = place_words(finding.path) if finding.path else "the scenario"
            said = self._display.finding(finding)
            self.show_words(f"{MARKS[finding.level]} – {place}: {said}")

    def _on_clicked(self) -> None:
        if self._finding is not None:
            self.jump_wanted.emit(self._finding.path)


def count_words(findings: tuple[Finding, ...]) -> str:
    """Return how many findings there are, in words."""
    if not findings:
        return "No findings"
    return "1 finding" if len(findings) == 1 else f"{len(findings)} findings"
