"""Every fault of a file in one plain line, with its place and what would be right."""

from __future__ import annotations

import pytest

from model.editing.faults import FAULTS_LIMIT, Fault, ScenarioError
from model.editing.field_facts import field_at
from model.files.scenario_file import parse_scenario

TEXT = """\
format = 2
title = "Ridge"

[site]
latitude_deg = 46.5
longitude_deg = 12
timezone = "Europe/Rome"
horizon = [[0, 5], [90, 12]]

[day]
date = 2027-06-21
days = 2
sky = [0.9, 0.5]

[[plan]]
start = "06:00"
end = "07:00"
activity = "watch"

[[stations]]
name = "Small"

[stations.radio]
receive_a = 0.16
key_down = [[0.5, 0.6], [10, 2.1]]

[stations.battery]
chemistry = "LFP"
capacity_ah = 20

[[stations.leads]]
for = "radio"
one_way_m = 1.5

[[stations.extras]]
current_a = 0.2
hours = [["18:00", "23:00"]]
"""


def faults_in(text: str) -> list[str]:
    with pytest.raises(ScenarioError) as caught:
        parse_scenario(text.encode())
    return [str(fault) for fault in caught.value.faults]


def with_line(old: str, new: str) -> str:
    assert TEXT.count(old) == 1
    return TEXT.replace(old, new)


def test_the_text_itself_has_no_fault():
    assert parse_scenario(TEXT.encode()).stations[0].battery.capacity_ah == 20


SENTENCES = [
    (
        "capacity_ah = 20",
        "capacity_ah = -20",
        "stations.0.battery.capacity_ah: must be greater than 0, got -20",
    ),
    (
        "capacity_ah = 20",
        "capacity_ah = 5001",
        "stations.0.battery.capacity_ah: must be at most 5000, got 5001",
    ),
    (
        "receive_a = 0.16",
        "receive_a = -0.5",
        "stations.0.radio.receive_a: must be at least 0, got -0.5",
    ),
    ("days = 2", "days = 2\nstart_hour = 24", "day.start_hour: must be less than 24, got 24"),
    (
        "capacity_ah = 20",
        'capacity_ah = "abc"',
        'stations.0.battery.capacity_ah: must be a number, got text "abc"',
    ),
    (
        "capacity_ah = 20",
        "capacity_ah = true",
        "stations.0.battery.capacity_ah: must be a number, got true",
    ),
    (
        "capacity_ah = 20",
        "capacity_ah = [1]",
        "stations.0.battery.capacity_ah: must be a number, got a list",
    ),
    (
        "capacity_ah = 20",
        "capacity_ah = {a = 1}",
        "stations.0.battery.capacity_ah: must be a number, got a table",
    ),
    (
        "capacity_ah = 20",
        "capacity_ah = 2027-06-21",
        "stations.0.battery.capacity_ah: must be a number, got 2027-06-21",
    ),
    (
        "capacity_ah = 20",
        "capacity_ah = 07:30:00",
        "stations.0.battery.capacity_ah: must be a number, got 07:30:00",
    ),
    (
        "capacity_ah = 20",
        "capacity_ah = nan",
        "stations.0.battery.capacity_ah: must be a finite number, got nan",
    ),
    (
        "capacity_ah = 20",
        "capacity_ah = -inf",
        "stations.0.battery.capacity_ah: must be a finite number, got -inf",
    ),
    (
        "capacity_ah = 20",
        f"capacity_ah = 0x{'f' * 400}",
        "stations.0.battery.capacity_ah: must be a number, got a number with too many digits",
    ),
    ("capacity_ah = 20", "", "stations.0.battery.capacity_ah: is missing: rated capacity, in Ah"),
    ('chemistry = "LFP"', "", "stations.0.battery.chemistry: is missing: chemistry"),
    ("receive_a = 0.16", "", "stations.0.radio.receive_a: is missing: receive current, in A"),
    (
        "capacity_ah = 20",
        "capacity_ah = 20\ncapcity_ah = 3",
        'stations.0.battery.capcity_ah: is not a key here; the nearest known key is "capacity_ah"',
    ),
    (
        "one_way_m = 1.5",
        "one_way_m = 1.5\nfeeds = 3",
        "stations.0.leads.0.feeds: is not a key here; known keys are name, mass_kg, cost, sources,"
        " for, size_mm2, awg, one_way_m, joints_mohm, fuse_a, insulation_c, plug, polarity,"
        " fuse_type",
    ),
    (
        "format = 2",
        "format = 2\nsites = 3",
        'sites: is not a key here; the nearest known key is "site"',
    ),
    (
        "format = 2",
        'format = 2\n"" = 3',
        '"": is not a key here; known keys are format, title, notes, site, day, climate, plan,'
        " stations, variants",
    ),
    (
        'chemistry = "LFP"',
        'chemistry = "lead"',
        'stations.0.battery.chemistry: must be one of "LFP",'
        ' "Li-ion", "AGM", "flooded", "NiMH", got'
        ' text "lead"',
    ),
    (
        'for = "radio"',
        'for = "tuner"',
        'stations.0.leads.0.for: must be one of "radio", "amplifier", "panel", "battery", got text'
        ' "tuner"',
    ),
    (
        "one_way_m = 1.5",
        "one_way_m = 1.5\ninsulation_c = 70",
        "stations.0.leads.0.insulation_c: must be one of 60, 75, 80, 90, 105, 125, 200, got 70",
    ),
    (
        "one_way_m = 1.5",
        f"one_way_m = 1.5\ninsulation_c = {'9' * 400}",
        "stations.0.leads.0.insulation_c: must be one of 60, 75, 80, 90, 105, 125, 200,"
        " got a number with too many digits",
    ),
    (
        "capacity_ah = 20",
        f"capacity_ah = 20\ncount = {'9' * 400}",
        "stations.0.battery.count: must be at most 50, got a number with too many digits",
    ),
    (
        "days = 2\n",
        f"days = {'9' * 400}\n",
        "day.days: must be at most 14, got a number with too many digits",
    ),
    ("days = 2", "days = 2.5", "day.days: must be a whole number, got 2.5"),
    ("days = 2", "days = 15", "day.days: must be at most 14, got 15"),
    (
        "sky = [0.9, 0.5]",
        "sky = [0.9, 1.5]",
        "day.sky.1: must be one of clear, mostly clear, mixed, mostly cloudy, overcast, rain, or"
        " the day's clear-sky index from 0 to 1.2, got 1.5",
    ),
    (
        "sky = [0.9, 0.5]",
        'sky = "sunny"',
        "day.sky: must be one of clear, mostly clear, mixed, mostly cloudy, overcast, rain, or"
        ' the day\'s clear-sky index from 0 to 1.2, got text "sunny"',
    ),
    ("sky = [0.9, 0.5]", "sky = []", "day.sky: must hold 1 to 16 entries, got 0"),
    (
        "sky = [0.9, 0.5]",
        f"sky = {[0.5] * 17}",
        "day.sky: must hold 1 to 16 entries, got 17",
    ),
    (
        "date = 2027-06-21",
        'date = "2027-06-21"',
        'day.date: must be a date such as 2027-03-01, without quotes, got text "2027-06-21"',
    ),
    (
        "date = 2027-06-21",
        "date = 2027-06-21T12:00:00",
        "day.date: must be a date such as 2027-03-01, without quotes, got 2027-06-21 12:00:00",
    ),
    (
        "date = 2027-06-21",
        "date = 1949-12-31",
        "day.date: must be at least 1950-01-01, got 1949-12-31",
    ),
    ('title = "Ridge"', "title = 5", "title: must be text in quotes, got 5"),
    (
        'title = "Ridge"',
        f'title = "{"x" * 201}"',
        "title: must be at most 200 characters long, got 201",
    ),
    ('title = "Ridge"', r'title = "a\nb"', 'title: must be a single line, got text "ab"'),
    ('title = "Ridge"', r'title = "a\u0007b"', "title: must not hold control characters"),
    ('title = "Ridge"', r'notes = "a\u2028b"', "notes: must not hold control characters"),
    (
        "receive_a = 0.16",
        'receive_a = 0.16\nsources = {receive_a = {from = "guess", note = "\\u0007"}}',
        "stations.0.radio.sources.receive_a.note: must not hold control characters",
    ),
    (
        'timezone = "Europe/Rome"',
        'timezone = "Europe/Atlantis"',
        'site.timezone: must be a time zone of the IANA list, such as "Europe/Rome", got text'
        ' "Europe/Atlantis"',
    ),
    (
        'timezone = "Europe/Rome"',
        'timezone = "../../etc/passwd"',
        'site.timezone: must be a time zone of the IANA list, such as "Europe/Rome", got text'
        ' "../../etc/passwd"',
    ),
    (
        "horizon = [[0, 5], [90, 12]]",
        "horizon = [[0, 5, 6]]",
        "site.horizon.0: must be a pair, [azimuth (true), elevation], got 3 values",
    ),
    (
        "horizon = [[0, 5], [90, 12]]",
        "horizon = [[0]]",
        "site.horizon.0.1: is missing: elevation, in °",
    ),
    (
        "horizon = [[0, 5], [90, 12]]",
        "horizon = 5",
        "site.horizon: must be pairs, [[azimuth (true), elevation], ...], got 5",
    ),
    (
        "horizon = [[0, 5], [90, 12]]",
        "horizon = [5]",
        "site.horizon.0: must be a pair, [azimuth (true), elevation], got 5",
    ),
    (
        "horizon = [[0, 5], [90, 12]]",
        "horizon = [[361, 5]]",
        "site.horizon.0.0: must be at most 360, got 361",
    ),
    (
        "horizon = [[0, 5], [90, 12]]",
        f"horizon = [{'[0, 5],' * 361}]",
        "site.horizon: must hold at most 360 entries, got 361",
    ),
    (
        "[[0.5, 0.6], [10, 2.1]]",
        "[[10, 0.6], [10, 2.1]]",
        "stations.0.radio.key_down: must hold at least two distinct powers, as [[rf_w, current_a],"
        " ...]",
    ),
    (
        'start = "06:00"',
        'start = "24:01"',
        'plan.0.start: must be a time "HH:MM" from "00:00" to "24:00", got text "24:01"',
    ),
    (
        'start = "06:00"',
        "start = 06:00:00",
        'plan.0.start: must be a time "HH:MM" from "00:00" to "24:00"',
    ),
    (
        'activity = "watch"',
        'activity = "watch"\nprocessed = 1',
        "plan.0.processed: must be true or false, got 1",
    ),
    (
        'hours = [["18:00", "23:00"]]',
        'hours = "never"',
        'stations.0.extras.0.hours: must be "always" or pairs of times, [["18:00", "23:00"]], got'
        ' text "never"',
    ),
    (
        'hours = [["18:00", "23:00"]]',
        'hours = [["18:00", "x"]]',
        'stations.0.extras.0.hours.0.1: must be a time "HH:MM" from "00:00" to "24:00", got text'
        ' "x"',
    ),
    (
        "receive_a = 0.16",
        'receive_a = 0.16\nsources = {receive_a = {from = "hearsay"}}',
        'stations.0.radio.sources.receive_a.from: must be one of "measured", "datasheet", "guess",'
        ' got text "hearsay"',
    ),
    (
        "receive_a = 0.16",
        "receive_a = 0.16\nsources = {receive_a = {}}",
        "stations.0.radio.sources.receive_a.from: is missing: source",
    ),
    (
        "receive_a = 0.16",
        'receive_a = 0.16\nsources = {recieve_a = {from = "guess"}}',
        "stations.0.radio.sources.recieve_a: names no field of this part",
    ),
    (
        "receive_a = 0.16",
        "receive_a = 0.16\nsources = []",
        'stations.0.radio.sources: must be a table such as { receive_a = { from = "measured" } }',
    ),
    (
        "[[stations.extras]]\ncurrent_a = 0.2",
        "[stations.extras]\ncurrent_a = 0.2",
        "stations.0.extras: must be a list of tables, each written"
        " [[stations.extras]], got a table",
    ),
    (
        'name = "Small"',
        "panel = 5",
        "stations.0.panel: must be a table, written [stations.panel], got 5",
    ),
    (
        'name = "Small"',
        "chargers = [5]",
        "stations.0.chargers.0: must be a table, written [[stations.chargers]], got 5",
    ),
    ("format = 2", "", "format: is missing: write format = 2"),
    (
        "format = 2",
        "format = 7",
        "format: is 7, from a newer Counterpoise; this one reads format 2",
    ),
    ("format = 2", "format = 0", "format: must be 2, got 0"),
    ("format = 2", "format = true", "format: must be 2, got true"),
    ("format = 2", 'format = "1"', 'format: must be 2, got text "1"'),
]


@pytest.mark.parametrize(("old", "new", "sentence"), SENTENCES)
def test_a_fault_says_where_and_what_would_be_right(old, new, sentence):
    assert faults_in(with_line(old, new)) == [sentence]


# Unicode Standard Annex 9, table 1: embeddings, overrides and isolates, with what ends them.
TURNING = "\u202a\u202b\u202c\u202d\u202e\u2066\u2067\u2068\u2069"


@pytest.mark.parametrize("mark", TURNING, ids=lambda mark: f"U+{ord(mark):04X}")
@pytest.mark.parametrize(
    ("old", "key", "path"),
    [
        ('title = "Ridge"', "title", "title"),
        ('title = "Ridge"', "notes", "notes"),
        ('name = "Small"', "name", "stations.0.name"),
        ('activity = "watch"', 'activity = "watch"\nnote', "plan.0.note"),
    ],
)
def test_marks_that_turn_the_direction_of_writing_are_control_characters(mark, old, key, path):
    new = f'{key} = "12 {mark}34"'
    assert faults_in(with_line(old, new)) == [f"{path}: must not hold control characters"]


@pytest.mark.parametrize("name", ["שלום 12", "قاعدة الجبل", "שלום\u200f!", "山小屋 📻"])
def test_letters_written_from_right_to_left_need_no_such_marks_and_are_names(name):
    scenario = parse_scenario(with_line('name = "Small"', f'name = "{name}"').encode())
    assert scenario.stations[0].name == name


def test_a_long_value_is_quoted_short_and_without_control_characters():
    long = 'capacity_ah = "' + r"\u001b\u202e" + "y" * 5000 + '"'
    (fault,) = faults_in(with_line("capacity_ah = 20", long))
    assert fault.startswith('stations.0.battery.capacity_ah: must be a number, got text "yyy')
    assert fault.endswith('yy…"')
    assert len(fault) < 120


def test_missing_tables_are_named():
    assert faults_in("format = 2") == [
        "site: is missing: the table [site]",
        "day: is missing: the table [day]",
        "stations: is missing: stations",
    ]
    assert faults_in(TEXT.split("[stations.battery]")[0]) == [
        "stations.0.battery: is missing: the table [stations.battery]"
    ]


def test_all_faults_of_a_file_are_told_at_once():
    text = TEXT
    for old, new in (
        ("latitude_deg = 46.5", "latitude_deg = 146.5"),
        ("days = 2", "days = 2.5"),
        ('activity = "watch"', 'activity = "sleep"'),
        ("receive_a = 0.16", "recieve_a = 0.16"),
        ("capacity_ah = 20", "capacity_ah = -20"),
    ):
        text = text.replace(old, new)
    assert faults_in(text) == [
        "site.latitude_deg: must be at most 90, got 146.5",
        "day.days: must be a whole number, got 2.5",
        'plan.0.activity: must be one of "off", "watch", "voice", "morse", "fm", "slots", "arq",'
        ' got text "sleep"',
        "stations.0.radio.receive_a: is missing: receive current, in A",
        'stations.0.radio.recieve_a: is not a key here; the nearest known key is "receive_a"',
        "stations.0.battery.capacity_ah: must be greater than 0, got -20",
    ]


def test_every_overlap_is_told():
    block = '[[plan]]\nstart = "{}"\nend = "{}"\nactivity = "watch"\n'
    text = TEXT.replace("[[stations]]\n", block.format("06:30", "06:45") + "[[stations]]\n", 1)
    text = text.replace("[[stations]]\n", block.format("23:00", "06:10") + "[[stations]]\n", 1)
    assert faults_in(text) == [
        "plan.2: overlaps plan.0 from 06:00; blocks must not overlap",
        "plan.1: overlaps plan.0 from 06:30; blocks must not overlap",
    ]


def test_five_faulty_stations_are_one_too_many():
    assert faults_in(TEXT + "[[stations]]\n" * 4) == ["stations: must hold 1 to 4 stations, got 5"]


def test_a_faulty_station_is_not_also_called_missing():
    faults = faults_in(TEXT.replace("capacity_ah = 20", "capacity_ah = 0"))
    assert faults == ["stations.0.battery.capacity_ah: must be greater than 0, got 0"]


def test_faults_beyond_a_page_are_counted():
    strangers = "".join(f"stranger_{number} = 1\n" for number in range(FAULTS_LIMIT + 12))
    faults = faults_in(strangers + TEXT)
    assert len(faults) == FAULTS_LIMIT + 1
    assert faults[-1] == "and 12 more"


def test_each_fault_knows_its_line():
    text = with_line("capacity_ah = 20", "capacity_ah = -20")
    text = text.replace("[90, 12]]", "\n  # [stations.battery]\n  [90, 120]]")
    text = text.replace('title = "Ridge"', 'notes = """\ncapacity_ah = 1\n[stations.battery]\n"""')
    with pytest.raises(ScenarioError) as caught:
        parse_scenario(text.encode())
    lines = text.splitlines()
    told = {fault.path: lines[fault.line - 1] for fault in caught.value.faults}
    assert told == {
        "site.horizon.1.1": "horizon = [[0, 5], ",
        "stations.0.battery.capacity_ah": "capacity_ah = -20",
    }


def test_a_missing_key_is_placed_at_its_table():
    with pytest.raises(ScenarioError) as caught:
        parse_scenario(with_line("capacity_ah = 20", "").encode())
    (fault,) = caught.value.faults
    assert TEXT.splitlines()[fault.line - 1] == "[stations.battery]"


def test_every_kind_of_number_is_refused_beyond_its_bounds():
    """The bounds that forms show are the bounds a file is held to."""
    for path, table in (("site.albedo", "[site]"), ("day.wind_m_s", "[day]")):
        facts = field_at(path)
        key = path.rpartition(".")[2]
        text = TEXT.replace(table, f"{table}\n{key} = {facts.high + 1}")
        high = f"{facts.high:g}"
        assert faults_in(text) == [f"{path}: must be at most {high}, got {facts.high + 1:g}"]


def test_a_fault_says_its_line_once() -> None:
    assert Fault("day.days", "must be\n1", 3).at_line == "line 3: day.days: must be 1"
    assert Fault("day.days", "must be 1").at_line == "day.days: must be 1"
    told = "line 2, column 11: text that begins with a quote does not end on its line"
    assert Fault("", told, 2).at_line == told
