"""Every file dialog and message box of the window; tests replace these functions."""

from __future__ import annotations

import re
from collections.abc import Sequence
from enum import Enum
from functools import partial
from pathlib import Path
from typing import cast

from PySide6.QtCore import Qt
from PySide6.QtPrintSupport import QPrintDialog, QPrinter
from PySide6.QtWidgets import (
    QApplication,
    QDialog,
    QDialogButtonBox,
    QFileDialog,
    QGridLayout,
    QLabel,
    QMessageBox,
    QPlainTextEdit,
    QVBoxLayout,
    QWidget,
)

from app.widgets.chosen_rows import ChosenList
from app.work.disk import disk, looked_into
from model.files.atomic_write import shown_name

SCENARIO_FILES = "Scenarios (*.toml);;All files (*)"
GROUP_FILES = "Groups (*.toml);;All files (*)"
LESSON_FILES = "Lessons (*.toml);;All files (*)"
PDF_FILES = "PDF (*.pdf)"
PART_FILES = "Parts (*.toml);;Table of parts (*.csv)"
PARTS_TO_OPEN = "Parts (*.toml *.csv *.tsv *.txt);;All files (*)"
LOGGER_FILES = "Tables (*.csv *.tsv *.txt);;All files (*)"
REPORT_FILES = "Tables of reports (*.csv *.tsv *.txt);;All files (*)"
WEATHER_FILES = "Weather files (*.epw *.tm2 *.csv *.json *.dat *.gz);;All files (*)"
PICTURE_FILES = "Picture, PNG (*.png);;Drawing, SVG (*.svg)"
CHANGED_CHOICES = ("Save over it", "Save under another name…")
_ENDING = re.compile(r"\*(\.\w+)")


class Answer(Enum):
    """What to do with changes that are not saved."""

    SAVE = "save"
    DISCARD = "discard"
    CANCEL = "cancel"


def ask_for_file_to_open(parent: QWidget, folder: str) -> Path | None:
    """Return the scenario file chosen, or None."""
    name, _ = QFileDialog.getOpenFileName(
        parent, "Open a scenario", looked_into(folder), SCENARIO_FILES
    )
    return Path(name) if name else None


def ask_for_file_to_save(parent: QWidget, suggestion: str) -> Path | None:
    """Return where to save the scenario, or None."""
    name, _ = QFileDialog.getSaveFileName(
        parent, "Save the scenario", looked_into(suggestion), SCENARIO_FILES
    )
    return _with_ending(parent, name, ".toml")


def ask_for_group_to_open(parent: QWidget, folder: str) -> Path | None:
    """Return the file of a group chosen, or None."""
    name, _ = QFileDialog.getOpenFileName(parent, "Open a group", looked_into(folder), GROUP_FILES)
    return Path(name) if name else None


def ask_for_group_to_save(parent: QWidget, suggestion: str) -> Path | None:
    """Return where to save the group, or None."""
    name, _ = QFileDialog.getSaveFileName(
        parent, "Save the group", looked_into(suggestion), GROUP_FILES
    )
    return _with_ending(parent, name, ".toml")


def ask_for_lesson_to_open(parent: QWidget, folder: str) -> Path | None:
    """Return the file of a lesson chosen, or None."""
    name, _ = QFileDialog.getOpenFileName(
        parent, "Open a lesson", looked_into(folder), LESSON_FILES
    )
    return Path(name) if name else None


def ask_for_page_to_write(parent: QWidget, suggestion: str) -> Path | None:
    """Return where to write pages, or None."""
    name, _ = QFileDialog.getSaveFileName(
        parent, "Write the pages", looked_into(suggestion), PDF_FILES
    )
    return _with_ending(parent, name, ".pdf")


def ask_for_export(parent: QWidget, suggestion: str, kinds: str) -> Path | None:
    """Return where to write a table or a picture, with the ending of the kind chosen, or None."""
    name, kind = QFileDialog.getSaveFileName(
        parent, "Write to a file", looked_into(suggestion), kinds
    )
    endings = _ENDING.findall(kind) + _ENDING.findall(kinds)
    return _with_ending(parent, name, *endings)


def ask_for_parts_to_open(parent: QWidget, folder: str) -> Path | None:
    """Return the file of parts chosen, or None."""
    name, _ = QFileDialog.getOpenFileName(
        parent, "Import parts", looked_into(folder), PARTS_TO_OPEN
    )
    return Path(name) if name else None


def ask_for_reports_to_open(parent: QWidget, folder: str) -> Path | None:
    """Return the table of reception reports chosen, or None."""
    name, _ = QFileDialog.getOpenFileName(parent, "Read reports", looked_into(folder), REPORT_FILES)
    return Path(name) if name else None


def ask_for_logger_to_open(parent: QWidget, folder: str) -> Path | None:
    """Return the table of a logger chosen, or None."""
    name, _ = QFileDialog.getOpenFileName(
        parent, "Read a logger's table", looked_into(folder), LOGGER_FILES
    )
    return Path(name) if name else None


def ask_for_weather_files(parent: QWidget, folder: str) -> list[Path]:
    """Return the weather files chosen, any number of them."""
    names, _ = QFileDialog.getOpenFileNames(
        parent, "Add weather files", looked_into(folder), WEATHER_FILES
    )
    return [Path(name) for name in names]


def ask_for_printer(parent: QWidget, title: str, pages: int) -> QPrinter | None:
    """Return a printer with the pages and copies wanted, or None."""
    printer = QPrinter(QPrinter.PrinterMode.HighResolution)
    dialog = QPrintDialog(printer, parent)
    dialog.setWindowTitle(f"Print: {title}")
    dialog.setMinMax(1, pages)
    dialog.setOption(QPrintDialog.PrintDialogOption.PrintPageRange)
    chosen = dialog.exec() == QPrintDialog.DialogCode.Accepted
    dialog.deleteLater()
    return printer if chosen else None


def ask_about_unsaved(parent: QWidget, name: str) -> Answer:
    """Return what to do with unsaved changes."""
    box = _box(parent, QMessageBox.Icon.Question, f"Save the changes to {name}?", "")
    save = QMessageBox.StandardButton.Save
    box.setStandardButtons(
        save | QMessageBox.StandardButton.Discard | QMessageBox.StandardButton.Cancel
    )
    box.setDefaultButton(save)
    answers = {save: Answer.SAVE, QMessageBox.StandardButton.Discard: Answer.DISCARD}
    return answers.get(QMessageBox.StandardButton(box.exec()), Answer.CANCEL)


def choose(parent: QWidget, title: str, text: str, choices: Sequence[str]) -> int | None:
    """Return which of several things to do; None where the question is waved away."""
    box = _box(parent, QMessageBox.Icon.Question, title, text)
    buttons = [box.addButton(words, QMessageBox.ButtonRole.AcceptRole) for words in choices]
    nothing = box.addButton(QMessageBox.StandardButton.Cancel)
    box.setDefaultButton(buttons[0])
    box.setEscapeButton(nothing)
    box.exec()
    clicked = box.clickedButton()
    return buttons.index(clicked) if clicked in buttons else None


def ask_about_changed(parent: QWidget, name: str, more: str = "") -> int | None:
    """Return which of ``CHANGED_CHOICES`` to do about a file that something else has written."""
    text = f"Something else has written it since it was opened here. {more}".rstrip()
    return choose(parent, f"{name} has changed on disk", text, CHANGED_CHOICES)


def choose_from_list(
    parent: QWidget, title: str, text: str, rows: Sequence[str], choices: Sequence[str]
) -> tuple[int, list[int]] | None:
    """Return which of several things to do with which rows; None where it is left for later.

    The first choice takes one row, the others any number.
    """
    dialog = QDialog(parent)
    dialog.setWindowTitle(title)
    words = QLabel(text)
    words.setTextFormat(Qt.TextFormat.PlainText)
    words.setWordWrap(True)
    listed = ChosenList()
    listed.setAccessibleName(title)
    listed.setSelectionMode(ChosenList.SelectionMode.ExtendedSelection)
    listed.setWordWrap(True)
    listed.setMinimumSize(560, 220)
    listed.addItems(list(rows))
    listed.setCurrentRow(0)
    buttons = QDialogButtonBox(QDialogButtonBox.StandardButton.Close)
    made = [buttons.addButton(each, QDialogButtonBox.ButtonRole.AcceptRole) for each in choices]
    for place, button in enumerate(made):
        button.clicked.connect(partial(dialog.done, place + 1))
    buttons.rejected.connect(dialog.reject)
    column = QVBoxLayout(dialog)
    for each in (words, listed, buttons):
        column.addWidget(each)
    answer = dialog.exec()
    chosen = sorted(index.row() for index in listed.selectedIndexes())
    dialog.deleteLater()
    if answer <= 0 or not chosen:
        return None
    return answer - 1, chosen


def tell(parent: QWidget | None, title: str, text: str) -> None:
    """Say that something did not work, and why."""
    _box(parent, QMessageBox.Icon.Warning, title, text).exec()


def tell_faults(parent: QWidget, title: str, faults: list[str]) -> None:
    """Show every fault of a file, one line each, so that they can be copied."""
    box = _box(parent, QMessageBox.Icon.Warning, title, "")
    _add_text(box, "\n".join(faults), "Faults")
    box.exec()


def tell_error(parent: QWidget | None, text: str, report: str) -> None:
    """Say that the program made an error, with a report that can be copied."""
    box = _box(parent, QMessageBox.Icon.Critical, "Something went wrong in Counterpoise", text)
    copy = box.addButton("Copy the report", QMessageBox.ButtonRole.ActionRole)
    box.addButton(QMessageBox.StandardButton.Close)
    _add_text(box, report, "Report")
    box.exec()
    if box.clickedButton() is copy:
        QApplication.clipboard().setText(report)


def _with_ending(parent: QWidget, name: str, *endings: str) -> Path | None:
    """Return the path chosen, with the first of the endings unless it has one of them.

    A dot in a name begins no ending: "ridge v1.2" is a name. A file that is there under its whole
    name is not replaced unasked.
    """
    if not name:
        return None
    path = Path(name)
    if path.suffix.casefold() in endings or not path.name:
        return path
    whole = path.with_name(path.name + endings[0])
    question = f"Replace {shown_name(whole)}?"
    if _is_there(whole) and choose(parent, question, "", ("Replace",)) is None:
        return None
    return whole


def _is_there(path: Path) -> bool:
    try:
        return disk.get(path.exists)
    except (OSError, ValueError):
        # Such as a name that is too long: saving says so.
        return False


def _box(parent: QWidget | None, icon: QMessageBox.Icon, title: str, text: str) -> QMessageBox:
    box = QMessageBox(parent)
    box.setIcon(icon)
    box.setWindowTitle("Counterpoise")
    box.setTextFormat(Qt.TextFormat.PlainText)
    box.setText(title)
    box.setInformativeText(text)
    return box


def _add_text(box: QMessageBox, text: str, name: str) -> None:
    shown = QPlainTextEdit(text)
    shown.setReadOnly(True)
    shown.setAccessibleName(name)
    shown.setMinimumSize(560, 220)
    layout = cast(QGridLayout, box.layout())
    layout.addWidget(shown, layout.rowCount(), 0, 1, layout.columnCount())
