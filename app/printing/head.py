"""The head of a station's page: which kit, which plan, where, when, and how far to trust it."""

from __future__ import annotations

from app.number_text import percent
from app.printing.marks import BODY, MM, STRONG, TITLE, Piece, box, stacked
from app.printing.say import Say, dates, degrees
from app.printing.type import line_of, paragraph, shortened, width_of
from model.export.kit_page import Kit
from model.results.provenance import guess_share
from model.results.wording import letter
from model.scenario.cautions import PREDICTION
from model.scenario.scenario import Scenario
from model.sky.cloud_words import sky_text
from model.sky.timeline import timeline
from model.sky.trip import planned
from model.sky.weather import air_span_c


def head(kit: Kit, say: Say, width: float) -> Piece:
    """Return the head of a station's page."""
    count = len(kit.scenario.stations)
    place = f"station {letter(kit.index)}, one of {count}" if count > 1 else "one station"
    if kit.results is not None:
        place = f"from guesses: {percent(guess_share(kit.results.run))} · {place}"
    return scenario_head(kit.scenario, kit.name, place, kit.fingerprint, say, width)


def scenario_head(
    scenario: Scenario, name: str, place: str, mark: str, say: Say, width: float
) -> Piece:
    """Return a head: name large, input mark to its right, then plan, place, dates and sky."""
    right = f"input {mark} · {place}"
    kind = {"class": "COPY FOR GUESSING", "answers": "ANSWERS"}.get(say.variant)
    label = f"{kind} · {right}" if kind else right
    room = width - width_of(label, BODY) - 4 * MM
    title = line_of(shortened(" ".join(name.split()), room, TITLE), style=TITLE)
    first = Piece(
        title.height, (*title.marks, *line_of(label, right=width, height=title.height).marks)
    )
    site, day = scenario.site, scenario.day
    where = (
        f"{_named(site.name, 'Place not named')} · {degrees(site.latitude_deg, site.longitude_deg)}"
        f" · {say.quantity(site.elevation_m, 'm')} · {_air(scenario, say)}"
    )
    plan = f"Plan: {_named(scenario.title, 'not named')}"
    lines = (
        f"{shortened(plan, max(width - width_of(f' · {where}'), width / 3))} · {where}",
        f"{dates(timeline(site, day).start, day.days)} · sky {_sky(scenario)}",
    )
    return stacked(
        first,
        line_of(shortened(lines[0], width)),
        paragraph(lines[1], width, most=2),
        caveat(width),
        gap=0.2 * MM,
    )


def caveat(width: float) -> Piece:
    """Return what every page says of its worth, in a frame."""
    inner = paragraph(PREDICTION, width - 3 * MM, STRONG)
    height = inner.height + 1.2 * MM
    return Piece(
        height + 0.6 * MM,
        (box(0.0, 0.6 * MM, width, height, "none", 6.0), *inner.moved(1.5 * MM, 1.2 * MM)),
    )


def _named(text: str, otherwise: str) -> str:
    return " ".join(text.split()) or otherwise


def _sky(scenario: Scenario) -> str:
    """Return the sky of the dates, each word once with the weekdays it stands for."""
    days: dict[str, list[str]] = {}
    given = scenario.day.sky
    for number, date in enumerate(timeline(scenario.site, scenario.day).dates):
        sky = given[min(number, len(given) - 1)]
        words = sky if isinstance(sky, str) else sky_text(sky)
        days.setdefault(words, []).append(f"{date:%a}")
    if len(days) == 1:
        return next(iter(days))
    return "; ".join(f"{words} {', '.join(names)}" for words, names in days.items())


def _air(scenario: Scenario, say: Say) -> str:
    return f"air {say.span_c(*air_span_c(scenario.site, planned(scenario)))}"
