"""Words of a lesson are text: on no screen of a class, and on no handout, are they markup."""

from __future__ import annotations

import tomllib
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pypdfium2
import pytest
import tomli_w
from PySide6.QtCore import Qt
from PySide6.QtWidgets import (
    QAbstractButton,
    QApplication,
    QLabel,
    QLineEdit,
    QListWidgetItem,
    QTextEdit,
    QWidget,
)
from pytestqt.qtbot import QtBot

from app.classroom import ClassroomWindow, open_classroom
from app.classroom.big_text import BigText
from app.classroom.handouts import write_handouts
from app.classroom.kept import Kept
from app.classroom.lessons import Listed
from app.classroom.picture import Picture
from app.classroom.programme import programme_of_lesson
from app.resources import resource
from app.state.display import Display
from app.state.settings import Settings
from app.widgets import dialogs
from model.lessons.lesson import Lesson
from model.lessons.lesson_file import read_lesson

MARKUP = "<b>x</b><img src=\"file:///x.png\"><a href='file:///x'>&amp;&l"
PAYLOAD = f"{MARKUP} שלום 📻"
LONG = "W" * 79
SHIPPED = ("radio-choice", "switch-off-first", "one-box-wins", "winter-tilt")
# What a lesson says: such words stand before what is there, so that its formulas stay.
SAID = {"question", "given", "explanation", "sum", "watch", "words", "text", "notes", "measure"}
NAMED = {"title", "name"}


def spoilt(value: Any, payload: str, key: str = "") -> Any:
    """Return a lesson's table with a hostile text wherever a person may write what they like."""
    if isinstance(value, dict):
        return {
            name: inner if name in ("cases", "numbers", "changes") else spoilt(inner, payload, name)
            for name, inner in value.items()
        }
    if isinstance(value, list):
        return [spoilt(inner, payload, key) for inner in value]
    if not isinstance(value, str):
        return value
    if key in NAMED or key == "cautions":
        return payload
    if key in ("words", "text"):
        return f"{payload} {len(value)}"[:120]
    return f"{payload} {value}" if key in SAID else value


def lesson_file(name: str, payload: str, folder: Path) -> Path:
    table = tomllib.loads(resource(f"scenarios/lessons/{name}.toml").read_text(encoding="utf-8"))
    if isinstance(table["scenario"], str):
        shared = resource(f"scenarios/lessons/{table['scenario']}").read_bytes()
        (folder / table["scenario"]).write_bytes(shared)
    path = folder / f"{name}.toml"
    path.write_text(tomli_w.dumps(spoilt(table, payload)), encoding="utf-8")
    return path


@pytest.fixture
def window(qtbot: QtBot) -> Iterator[ClassroomWindow]:
    shown = open_classroom(Display(Settings()))
    qtbot.addWidget(shown)
    yield shown
    shown.close()


def faults_on(window: ClassroomWindow) -> Iterator[str]:
    """Whatever would show a text as markup, or take an ampersand for the mark of a key."""
    for widget in [window, *window.findChildren(QWidget)]:
        assert not isinstance(widget, QTextEdit)
        for tip in (widget.toolTip(), widget.statusTip(), widget.whatsThis()):
            if "<b>" in tip or "&amp;" in tip:
                yield f"tip: {tip[:60]}"
        if isinstance(widget, QLabel) and widget.textFormat() != Qt.TextFormat.PlainText:
            yield f"label guesses: {widget.text()[:60]}"
        words = widget.text() if isinstance(widget, QAbstractButton) else ""
        if "<b>" in words and "&&amp;" not in words:
            yield f"button: {words[:60]}"
        if isinstance(widget, QLineEdit) and "\n" in widget.placeholderText():
            yield f"line: {widget.placeholderText()[:60]}"


def said_on(window: ClassroomWindow) -> str:
    texts = [text.text for text in window.findChildren(BigText) if text.isVisible()]
    for picture in window.findChildren(Picture):
        if picture.isVisible():
            texts += [picture.accessibleDescription(), *(words for _, words in picture.written)]
    return "\n".join(texts)


def go_through(qtbot: QtBot, window: ClassroomWindow, lesson: Lesson) -> tuple[set[str], str]:
    """Turn every screen of a lesson, and return the kinds seen and all that was said."""
    course = window.class_page.course
    assert course is not None
    assert course.programme.lessons[0].lesson == lesson
    kinds, said = set(), ""
    while window.pages.currentWidget() is window.class_page:
        kinds.add(course.screen.kind)
        assert list(faults_on(window)) == []
        # Painted whole: a text that Qt reads as markup would load what it names now.
        assert not window.grab().isNull()
        said += said_on(window)
        for _ in range(2 if course.round else 1):
            qtbot.keyClick(QApplication.focusWidget(), Qt.Key.Key_PageDown)
    return kinds, said


@pytest.mark.parametrize("name", SHIPPED)
def test_words_of_a_lesson_are_text_on_every_screen(
    qtbot: QtBot,
    window: ClassroomWindow,
    tmp_path: Path,
    name: str,
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    told: list[str] = []
    monkeypatch.setattr(dialogs, "tell_faults", lambda _window, _title, lines: told.extend(lines))
    path = lesson_file(name, MARKUP, tmp_path)
    window.open_path(path)
    assert told == []
    kinds, said = go_through(qtbot, window, read_lesson(path))
    assert {"lesson", "guess", "talk", "second", "reveal", "why", "end"} <= kinds
    assert said.count(MARKUP) >= 8


@pytest.mark.parametrize("payload", [PAYLOAD[:80], LONG], ids=["bidi and emoji", "long"])
def test_any_letters_and_the_longest_words_are_shown(
    qtbot: QtBot, window: ClassroomWindow, tmp_path: Path, payload: str
) -> None:
    path = lesson_file("radio-choice", payload, tmp_path)
    window.open_path(path)
    _, said = go_through(qtbot, window, read_lesson(path))
    assert payload in said


def test_the_list_and_the_class_to_go_on_with_show_titles_as_text(
    window: ClassroomWindow, tmp_path: Path
) -> None:
    path = lesson_file("radio-choice", MARKUP, tmp_path)
    page, programme = window.list_page, programme_of_lesson("a", path, read_lesson(path))
    kept = {"a": Kept("a", MARKUP, "")}
    page.show_classes([Listed(path, programme)], [f"{MARKUP}: a fault"], kept, kept)
    assert list(faults_on(window)) == []
    item = page.list.item(0)
    assert isinstance(item, QListWidgetItem)
    assert item.text().startswith(f"4\N{NO-BREAK SPACE}\N{NO-BREAK SPACE}{MARKUP}")
    assert item.toolTip() == ""
    assert page.note.text == f"Not listed: {MARKUP}: a fault"
    assert "under way" in item.text()
    assert not window.grab().isNull()


def test_handouts_print_words_of_a_lesson_as_text(tmp_path: Path, qapp: QApplication) -> None:
    target = tmp_path / "handouts.pdf"
    for name in SHIPPED:
        path = lesson_file(name, MARKUP, tmp_path)
        write_handouts(programme_of_lesson(name, path, read_lesson(path)), target)
        data = target.read_bytes()
        pages = pypdfium2.PdfDocument(data)
        words = "".join("".join(page.get_textpage().get_text_bounded().split()) for page in pages)
        assert words.count("<b>x</b>") >= 8
        assert b"/URI" not in data
        assert b"/Link" not in data
    assert qapp is not None
