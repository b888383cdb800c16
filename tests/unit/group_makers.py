"""Small groups whose kits can be worked by hand: lossless batteries, one steady load."""

from __future__ import annotations

from datetime import date
from typing import Any

from model.group.group import Group
from model.group.kits import LoadedGroup
from model.scenario.scenario import Scenario

DAY = {"date": date(2027, 10, 22), "start_hour": 8.0, "days": 2, "sky": "clear"}
SITE = {"name": "Made", "latitude_deg": 50.0, "longitude_deg": 10.0, "timezone": "Europe/Berlin"}
WATCH = {"start": "00:00", "end": "24:00", "activity": "watch"}
PANEL = {"rated_w": 100.0, "vmp_v": 18.0, "voc_v": 22.0}


def battery(ah: float, **more: Any) -> dict[str, Any]:
    return {"chemistry": "LFP", "capacity_ah": ah, **more}


def kit(ah: float, receive_a: float = 0.5, **more: Any) -> dict[str, Any]:
    """A radio that receives day and night on a battery without resistance."""
    radio = {"receive_a": receive_a, "key_down": [[1.0, 1.0], [10.0, 3.0]], **more.pop("radio", {})}
    held = {**battery(ah), **more.pop("battery", {})}
    return {"name": f"{ah:g} Ah", "radio": radio, "battery": held, **more}


def post(number: int, station: int, **more: Any) -> dict[str, Any]:
    return {
        "kit": f"{number:02d}", "scenario": f"file{(station - 1) // 4}.toml",
        "station": (station - 1) % 4 + 1, "role": "post", "place": "Base", **more,
    }  # fmt: skip


def group_of(
    kits: list[dict[str, Any]], posts: list[dict[str, Any]] | None = None, **more: Any
) -> LoadedGroup:
    """A group with a post for each kit, all at one place unless told otherwise."""
    files = []
    for first in range(0, len(kits), 4):
        table = {"site": SITE, "day": DAY, "plan": [WATCH], "stations": kits[first : first + 4]}
        files.append((f"file{first // 4}.toml", Scenario.model_validate(table)))
    made = posts or [
        post(n, n, role="net control" if n == 1 else "post") for n in range(1, len(kits) + 1)
    ]
    day = {**DAY, **more.pop("day", {})}
    group = Group.model_validate({"title": "Made", "day": day, "posts": made, **more})
    return LoadedGroup(group, tuple(files))
