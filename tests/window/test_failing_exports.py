"""Every file call of an export fails in turn: the old file is whole, and one sentence says why."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

import pytest
from conftest import Answers
from failing_disk import FailingDisk, failing_disk
from test_failing_disk import REASONS, is_plain
from user import User

from app.pages.kit_page.page import KitPage
from app.pages.library.page import LibraryPage
from app.pages.size.export import ExportRow
from app.widgets import dialogs

OLD = b"what stood here before"
Export = Callable[[], object]
__all__ = ["failing_disk"]


def pages(user: User) -> Export:
    page = user.window.lenses.open("kit_page").view
    assert isinstance(page, KitPage)
    user.wait_for(page.sheets.save_button.isEnabled)
    return page.sheets.save_button.click


def picture(user: User) -> Export:
    return user.window.picture.save


def table(user: User) -> Export:
    row = ExportRow("table", None)
    user.qtbot.addWidget(row)
    row.set_ready(True)
    row.table_wanted.connect(lambda path: row.write_table(path, (("a",), [[1.5]])))
    return row.table_button.click


def parts(user: User) -> Export:
    view = user.window.views.open_library().view
    assert isinstance(view, LibraryPage)
    return view.browser.buttons["export"].click


EXPORTS = {
    "kit.pdf": (pages, b"%PDF"), "day.png": (picture, b"\x89PNG"),
    "day.svg": (picture, b"<?xml"), "table.csv": (table, b"a\n1.5"),
    "parts.toml": (parts, b"format = 2"), "parts.csv": (parts, b"part,"),
}  # fmt: skip


@pytest.mark.parametrize("name", EXPORTS)
def test_whichever_call_of_an_export_fails_the_old_file_is_whole_and_it_is_said(
    user: User, failing_disk: FailingDisk, answers: Answers, monkeypatch: pytest.MonkeyPatch,
    tmp_path: Path, name: str,
) -> None:  # fmt: skip
    make, begins = EXPORTS[name]
    path = tmp_path / name
    answers.page = path
    monkeypatch.setattr(dialogs, "ask_for_export", lambda *_: path)
    export = make(user)
    user.settle()
    for number, why in REASONS.items():
        for call in range(1, 60):
            path.write_bytes(OLD)
            answers.said.clear()
            with failing_disk.failing(number, call, call):
                export()
                is_over = failing_disk.count < call
            assert [each.name for each in tmp_path.iterdir()] == [name]
            assert user.window.isVisible()
            if path.read_bytes() == OLD:
                (words,) = answers.said
                assert why in words
                assert is_plain(words)
            else:
                assert path.read_bytes().startswith(begins)
                assert answers.said == []
            if is_over:
                break
        assert 5 < call < 59
    assert failing_disk.on_other_threads == []
    user.window.views.close()
    user.settle()
