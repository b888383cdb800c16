"""The page after a trip, read back from its file."""

from __future__ import annotations

from io import BytesIO

from app.printing.after_action import after_action_pages, after_action_title
from app.printing.booklet import write_pages
from model.editing.paths import with_value
from model.engine.comparison import simulate
from model.field.log_check import field_check
from model.scenario.scenario import Scenario
from tests.page.page_reading import overprinted, sheets
from tests.window.day_scenes import scene, station

LOG = [
    {"day": 1, "at": "12:00", "used_ah": 3.1, "panel_a": 2.0, "note": "thin cloud"},
    {"day": 2, "at": "02:00", "used_ah": 9.0},
    {"day": 2, "at": "04:10", "event": "off"},
]


def text_of(scenario: Scenario) -> str:
    [run] = simulate(scenario).runs
    assert run is not None
    pages = after_action_pages(scenario, 0, field_check(run))
    out = BytesIO()
    write_pages(pages, out, after_action_title(scenario, 0))
    read = sheets(out.getvalue())
    assert not any(overprinted(each) for each in read)
    return " ".join(each.flat for each in read)


def test_it_tells_what_was_predicted_read_and_learned() -> None:
    kept = with_value(scene(station("kit & box")), "stations.0.readings", LOG)
    text = text_of(kept)
    for words in (
        "After the trip: kit & box", "Predicted", "Lowest charge", "Measured", "3.1 Ah",
        "thin cloud",
        "Off the air from 04:10.", "Learned", "measure on the bench", "Rest of the trip",
        "In your own words", "page 1 of",
    ):  # fmt: skip
        assert words in text, words


def test_without_a_log_it_says_that_nothing_was_written_down() -> None:
    text = text_of(scene(station("kit")))
    assert "Nothing was written down." in text
    assert "Learned" not in text
