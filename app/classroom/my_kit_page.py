"""A student's own kit on the big screen: five inputs, the hours, and the sum."""

from __future__ import annotations

from PySide6.QtCore import Qt, Signal
from PySide6.QtGui import QKeyEvent, QResizeEvent
from PySide6.QtWidgets import QGridLayout, QHBoxLayout, QLabel, QLineEdit, QVBoxLayout, QWidget

from app.classroom.big_text import BigText, least_px, sized
from app.widgets.number_text import plain
from model.editing.units import EntryError, read_entry
from model.lessons.my_kit import MyKit, my_kit
from model.scenario.cautions import PREDICTION

MARGIN_SHARE, GAP_PX = 24, 48
# Shares are typed in per cent, as everywhere in the window.
AS_PERCENT = ("send_share", "tested_fraction")


class MyKitPage(QWidget):
    """Two columns: what is typed, and what comes of it."""

    left = Signal()

    def __init__(self) -> None:
        super().__init__()
        self.title, self.result = BigText(16, bold=True), BigText(12, bold=True, on_top=True)
        self.sum, self.note = BigText(24, on_top=True), BigText(28, quiet=True)
        self.title.set_text("My kit: hours on the battery alone")
        self.lines: dict[str, QLineEdit] = {}
        self.labels: list[QLabel] = []
        self._column = column = QVBoxLayout(self)
        across, self._form = QHBoxLayout(), QGridLayout()
        across.setSpacing(GAP_PX)
        column.addWidget(self.title)
        column.addLayout(across, 1)
        across.addLayout(self._form, 5)
        right = QVBoxLayout()
        across.addLayout(right, 6)
        right.addWidget(self.result, 1)
        right.addWidget(self.sum, 4)
        column.addWidget(self.note)
        for row, name in enumerate(MyKit.model_fields):
            self._add_line(row, name)
        self._form.setRowStretch(len(MyKit.model_fields), 1)
        self.setFocusProxy(self.lines["receive_a"])
        self._work_out()

    def _add_line(self, row: int, name: str) -> None:
        info = MyKit.model_fields[name]
        extra = info.json_schema_extra
        unit = "%" if name in AS_PERCENT else str(extra["unit"]) if isinstance(extra, dict) else ""
        label = QLabel(f"{info.title}, {unit}")
        label.setTextFormat(Qt.TextFormat.PlainText)
        label.setWordWrap(True)
        line = QLineEdit(plain(info.default * (100 if name in AS_PERCENT else 1), 3))
        line.setMaxLength(12)
        line.setAccessibleName(label.text())
        line.setAccessibleDescription(info.description or "")
        line.textEdited.connect(self._on_edited)
        label.setBuddy(line)
        self.lines[name], self.labels = line, [*self.labels, label]
        self._form.addWidget(label, row, 0)
        self._form.addWidget(line, row, 1)

    def _on_edited(self, _: str) -> None:
        self._work_out()

    def _work_out(self) -> None:
        """Show the hours of what is typed, or what is wrong with it."""
        try:
            values = {name: self._value(name) for name in self.lines}
            found = my_kit(MyKit.model_validate(values))
        except ValueError:
            self.result.set_text("–")
            self.sum.set_text("")
            self.note.set_text(self._fault())
            return
        self.result.set_text(found.words)
        self.sum.set_text("\n".join(found.sum))
        self.note.set_text(PREDICTION)

    def _value(self, name: str) -> float:
        extra = MyKit.model_fields[name].json_schema_extra
        unit = str(extra["unit"]) if isinstance(extra, dict) else ""
        bare = "%" if name in AS_PERCENT else ""
        return read_entry(self.lines[name].text(), unit, bare=bare).value

    def _fault(self) -> str:
        for name, line in self.lines.items():
            info = MyKit.model_fields[name]
            try:
                MyKit.model_validate({name: self._value(name)})
            except EntryError as error:
                return f"{info.title}: {error}"
            except ValueError:
                typed = line.text().strip() or "nothing"
                return f"{info.title}: “{typed}” is not possible here"
        return ""

    def keyPressEvent(self, event: QKeyEvent) -> None:
        if event.key() == Qt.Key.Key_Escape:
            self.left.emit()
        elif event.key() in (Qt.Key.Key_Return, Qt.Key.Key_Enter, Qt.Key.Key_PageDown):
            self.focusNextChild()
        elif event.key() == Qt.Key.Key_PageUp:
            self.focusPreviousChild()
        else:
            super().keyPressEvent(event)

    def resizeEvent(self, event: QResizeEvent) -> None:
        super().resizeEvent(event)
        self.fit_type()

    def fit_type(self) -> None:
        """Set the type by the height of the window."""
        px = least_px(self)
        side = self.window().width() // MARGIN_SHARE
        self._column.setContentsMargins(side, round(px * 0.5), side, round(px * 0.5))
        self._form.setVerticalSpacing(round(px * 0.6))
        for widget in (*self.labels, *self.lines.values()):
            widget.setFont(sized(self.font(), px))
        for line in self.lines.values():
            line.setFixedWidth(px * 6)
        self.title.setFixedHeight(round(px * 2.2))
        self.note.setFixedHeight(round(px * 3))
