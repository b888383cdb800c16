"""Names are text: in no label, tip, menu, table, plot, title or page are they read as markup."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

import pypdfium2
import pytest
from PySide6.QtCore import QAbstractItemModel, QModelIndex, Qt
from PySide6.QtGui import QAction
from PySide6.QtWidgets import (
    QAbstractButton,
    QAbstractItemView,
    QApplication,
    QGraphicsTextItem,
    QGraphicsView,
    QLabel,
    QMessageBox,
    QTextEdit,
    QWidget,
)
from user import User

from app.pages.lenses import VIEWS
from app.printing import pages_of
from app.printing.document import pdf_bytes
from app.resources import resource
from app.widgets import dialogs
from model.editing.field_facts import field_at, known_keys
from model.editing.paths import value_at, with_value
from model.files.scenario_file import dump_scenario, parse_scenario, read_scenario
from model.library.store import dump_parts, load
from model.scenario.scenario import Scenario

MARKUP = "<b>x</b><img src=\"file:///etc/passwd\"><a href='file:///x'>&amp;&l"
PAYLOAD = f"{MARKUP} שלום 📻 [*]"
RIDGE = resource("scenarios/ridge-weekend.toml")


def text_paths(scenario: Scenario, path: str = "") -> Iterator[str]:
    """Every place in a scenario where a person may write what they like."""
    for key in known_keys(path):
        at = f"{path}.{key}" if path else key
        kind, held = field_at(at).kind, value_at(scenario, at)
        if kind in ("text", "prose") and key != "timezone":
            yield at
        elif kind == "part" and held is not None:
            yield from text_paths(scenario, at)
        elif kind == "list":
            for index in range(len(held)):
                yield from text_paths(scenario, f"{at}.{index}")


@pytest.fixture(scope="module")
def hostile() -> Scenario:
    scenario = read_scenario(RIDGE)
    for path in text_paths(scenario):
        # Variants are told apart by their names.
        number = path.split(".")[1] if path.startswith("variants.") else ""
        scenario = with_value(scenario, path, PAYLOAD + number)
    assert dump_scenario(scenario).count("passwd") > 20
    assert parse_scenario(dump_scenario(scenario).encode()) == scenario
    return scenario


def open_everything(user: User) -> None:
    user.window.place.begin()
    for station in (1, 2):
        for title in ("Radio", "Amplifier", "Battery", "Panel", "Leads", "Extras"):
            user.open(station, title)
    for key in VIEWS:
        user.window.lenses.open(key)
    user.window.views.open_library()
    user.settle_all()
    user.window.document.edit("stations.0.battery.name", f"{PAYLOAD} 2")
    user.settle_all()


def shown_by(html_or_text: str) -> str:
    """Return what Qt shows of a text whose format it guesses."""
    guesser = QTextEdit()
    guesser.setText(html_or_text)
    return guesser.toPlainText()


def is_read_as_markup(text: str) -> bool:
    """Whether something of a hostile name is lost where Qt guesses the format of a text."""
    raw = text.count("file:///")
    escaped = text.count("src=&quot;file:///") + text.count("&lt;img")
    return bool(raw or escaped) and shown_by(text).count("<b>x</b>") == 0


def texts_of(model: QAbstractItemModel, role: int) -> Iterator[str]:
    for row in range(model.rowCount(QModelIndex())):
        for column in range(model.columnCount(QModelIndex())):
            value: Any = model.index(row, column).data(role)
            if isinstance(value, str):
                yield value


def labels_at_fault(widgets: list[QWidget]) -> Iterator[str]:
    labels = [each for each in widgets if isinstance(each, QLabel)]
    hostile = [label for label in labels if "<b>" in label.text()]
    assert len(hostile) > 5
    for label in hostile:
        # The headline marks its moment in the model's own words and escapes all the rest.
        is_escaped = label.textFormat() == Qt.TextFormat.RichText and "<img" not in label.text()
        if label.textFormat() != Qt.TextFormat.PlainText and not is_escaped:
            yield f"label guesses: {label.text()[:60]}"
        if label.buddy() is not None and "&&amp;" not in label.text():
            yield f"label loses an ampersand: {label.text()[:60]}"


def tips_at_fault(widgets: list[QWidget]) -> Iterator[str]:
    tips = [tip for widget in widgets for tip in (widget.toolTip(), widget.whatsThis())]
    for widget in widgets:
        tips += [action.toolTip() for action in widget.actions()]
        if isinstance(widget, QAbstractItemView) and widget.model() is not None:
            tips += texts_of(widget.model(), Qt.ItemDataRole.ToolTipRole)
    assert any("passwd" in tip for tip in tips)
    for tip in set(tips):
        if is_read_as_markup(tip):
            yield f"tip: {tip[:80]}"


def documents_at_fault(widgets: list[QWidget]) -> Iterator[str]:
    documents = [each.document() for each in widgets if isinstance(each, QTextEdit)]
    for view in (each for each in widgets if isinstance(each, QGraphicsView)):
        items = view.scene().items() if view.scene() else []
        documents += [item.document() for item in items if isinstance(item, QGraphicsTextItem)]
    for document in documents:
        text, marked_up = document.toPlainText(), document.toHtml()
        is_lost = "passwd" in text and "<b>x</b>" not in text
        if "<img" in marked_up or "<a href" in marked_up or is_lost:
            yield f"document: {text[:60]}"


def keys_at_fault(widgets: list[QWidget]) -> Iterator[str]:
    """Ampersands that a button or a menu would take for the mark of a key."""
    words = [action.text() for widget in widgets for action in widget.findChildren(QAction)]
    words += [each.text() for each in widgets if isinstance(each, QAbstractButton)]
    for text in words:
        if "passwd" in text and "&&amp;" not in text:
            yield f"button or menu: {text[:60]}"


def test_a_name_that_is_read_as_markup_would_be_found(qapp: QApplication) -> None:
    assert is_read_as_markup(PAYLOAD)
    assert is_read_as_markup(f"Source: {PAYLOAD}")
    assert not is_read_as_markup("Go to this field")
    assert qapp is not None


def test_names_are_text_wherever_they_stand(
    open_window: Callable[..., User], hostile: Scenario
) -> None:
    user = open_window(hostile)
    open_everything(user)
    widgets = QApplication.allWidgets()
    faults = [
        *labels_at_fault(widgets), *tips_at_fault(widgets), *documents_at_fault(widgets),
        *keys_at_fault(widgets),
    ]  # fmt: skip
    assert faults == []
    assert user.sees("<b>x</b>")
    title = user.window.windowTitle()
    assert title.startswith(f"{MARKUP} שלום 📻 [*][*][*]")


def test_message_boxes_show_names_as_text(qapp: QApplication) -> None:
    box = dialogs._box(None, QMessageBox.Icon.Warning, PAYLOAD, PAYLOAD)
    labels = [label for label in box.findChildren(QLabel) if "passwd" in label.text()]
    assert len(labels) == 2
    for label in labels:
        assert label.textFormat() == Qt.TextFormat.PlainText
    box.deleteLater()
    assert qapp is not None


def test_the_page_prints_names_as_text(hostile: Scenario, qapp: QApplication) -> None:
    data = pdf_bytes(pages_of(hostile), PAYLOAD)
    pdf = pypdfium2.PdfDocument(data)
    words = "".join("".join(page.get_textpage().get_text_bounded().split()) for page in pdf)
    assert words.count("<b>x</b>") >= 2
    assert b"/URI" not in data
    assert b"/Link" not in data
    assert qapp is not None


def test_a_library_of_such_names_is_shown_as_text(
    open_window: Callable[..., User], hostile: Scenario, tmp_path: Any
) -> None:
    station = hostile.stations[0]
    path = tmp_path / "radios.toml"
    path.write_text(dump_parts((station.radio,)), encoding="utf-8")
    assert load(tmp_path).of("radio")[0].name == PAYLOAD
    user = open_window()
    page = user.window.views.open_library()
    page.view.browser._shelf.add(station.radio)
    user.settle_all()
    tables = [each for each in page.findChildren(QAbstractItemView) if each.model()]
    tips = [tip for table in tables for tip in texts_of(table.model(), Qt.ItemDataRole.ToolTipRole)]
    assert not any(is_read_as_markup(tip) for tip in tips)
    shown = [
        text
        for table in tables
        for text in texts_of(table.model(), Qt.ItemDataRole.DisplayRole)
        if "passwd" in text
    ]
    assert shown
    for label in page.findChildren(QLabel):
        assert "<b>" not in label.text() or label.textFormat() == Qt.TextFormat.PlainText


TURNING = "evil\u202elmot\u2066\n.toml"


def test_a_file_name_is_shown_on_one_line_from_left_to_right(
    open_window: Callable[..., User], tmp_path: Path, answers: Any
) -> None:
    path = tmp_path / TURNING
    path.write_bytes(RIDGE.read_bytes())
    user = open_window()
    assert user.window.files.open_path(path)
    assert user.window.windowTitle().startswith("evil?lmot??.toml[*]")
    user.fill("station 1, reserve", "33")
    path.write_bytes(RIDGE.read_bytes() + b"\n")
    user.choose("File", "Save")
    path.write_text("format = 7", encoding="utf-8")
    user.window.files.open_path(path)
    recent = [action.text() for action in user.window.recent.actions()]
    assert "evil?lmot??.toml has changed on disk" in answers.said[0]
    assert "evil?lmot??.toml could not be opened" in answers.said
    for line in (*recent, *answers.said):
        assert "\u202e" not in line
        assert "\u2066" not in line


def test_a_file_name_that_is_too_long_is_no_error_of_the_program(qapp: QApplication) -> None:
    assert qapp is not None
    name = "x" * 300
    assert dialogs._with_ending(QWidget(), name, ".pdf") == Path(f"{name}.pdf")
