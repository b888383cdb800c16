"""Tables as CSV and drawings as PNG or SVG: the buttons, and the files they write."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path

from PySide6.QtCore import Signal
from PySide6.QtWidgets import QHBoxLayout, QPushButton, QWidget

from app.charts.canvas import Canvas
from app.widgets import dialogs
from app.work.disk import write_data
from model.files.atomic_write import SaveError, shown_name
from model.files.csv_table import csv_file

Table = tuple[Sequence[str], Sequence[Sequence[object]]]
CSV_FILES = "Table (*.csv)"
PICTURE_FILES = "Picture (*.png);;Drawing (*.svg)"


class ExportRow(QWidget):
    """Buttons that write the table or the drawing beside them; says when a file is refused."""

    table_wanted = Signal(Path)

    def __init__(self, name: str, canvas: Canvas | None, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._name, self._canvas = name, canvas
        self.table_button = QPushButton("Table…")
        self.table_button.setToolTip("Write the numbers as CSV")
        self.table_button.setAccessibleName(f"{name}: write the table")
        self.picture_button = QPushButton("Picture…")
        self.picture_button.setToolTip("Write the drawing as PNG or SVG")
        self.picture_button.setAccessibleName(f"{name}: write the picture")
        line = QHBoxLayout(self)
        line.setContentsMargins(0, 0, 0, 0)
        line.addWidget(self.table_button)
        line.addWidget(self.picture_button)
        # Only where it has its place: shown without one it would be a window for a moment.
        self.picture_button.setVisible(canvas is not None)
        self.table_button.clicked.connect(self._on_table)
        self.picture_button.clicked.connect(self._on_picture)
        self.set_ready(False)

    def set_ready(self, is_ready: bool) -> None:
        """Offer the files once there is something to write."""
        self.table_button.setEnabled(is_ready)
        self.picture_button.setEnabled(is_ready)

    def write_table(self, path: Path, table: Table) -> None:
        """Write a table, or say why it cannot be written."""
        try:
            write_data(csv_file(*table).encode(), path)
        except SaveError as error:
            self._refuse(path, error)

    def _on_table(self) -> None:
        path = dialogs.ask_for_export(self, f"{self._name}.csv", CSV_FILES)
        if path is not None:
            self.table_wanted.emit(path)

    def _on_picture(self) -> None:
        path = dialogs.ask_for_export(self, f"{self._name}.png", PICTURE_FILES)
        if path is None or self._canvas is None:
            return
        is_drawing = path.suffix.casefold() == ".svg"
        try:
            (self._canvas.save_svg if is_drawing else self._canvas.save_png)(path)
        except SaveError as error:
            self._refuse(path, error)

    def _refuse(self, path: Path, why: SaveError) -> None:
        dialogs.tell(self, f"{shown_name(path)} was not written", str(why))
