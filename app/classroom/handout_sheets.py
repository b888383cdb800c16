"""Sheets to fill in: guesses, readings at the bench, the plan of a day, one's own kit."""

from __future__ import annotations

from collections.abc import Sequence

from app.classroom import units
from app.classroom.lessons import class_day
from app.classroom.programme import Programme, Question
from app.printing.marks import BODY, HEADING, MM, STRONG, Mark, Piece, box, rule, stacked
from app.printing.say import Blank, Cell
from app.printing.table import Column, spread, table
from app.printing.type import line_height, line_of, paragraph, width_of
from app.widgets.number_text import shown_unit
from model.engine.comparison import simulate
from model.lessons.lesson import ChoiceAnswer, CurveAnswer, NumberAnswer, OrderAnswer
from model.lessons.my_kit import MyKit
from model.lessons.run import letter
from model.scenario.cautions import DISCHARGE_TEST, DUMMY_LOAD, FUSE, METERING

# High enough for a hand in a glove.
WRITING = 8.0 * MM
SIX_ROUNDS = ("At the start", "At the end")
BENCH = (
    ("Weigh radio, amplifier, tuner, battery, panel, leads, each with its case", "kg"),
    ("Everything connected and switched off: current", "mA"),
    ("Receive, quiet band, usual volume: current", "A"),
    ("Receive, headphones, light off: current", "A"),
    ("Receive, amplifier off / in standby / in operate: current", "A"),
    ("Dummy load, key down 10 s at full power: current, and voltage at the radio", "A, V"),
    ("The same at half, a fifth, a tenth of the power", "A, V"),
    ("At the same moment, voltage at the battery: the loss in the leads", "V"),
    ("Tuner: current while tuning, and idle", "A"),
    ("Computer: power in use, and charging", "W"),
    ("Panel at noon, square to the sun: open-circuit voltage, current into the battery", "V, A"),
    ("Battery, full, known load to its cut-off: hours, and Ah (takes a night)", "h, Ah"),
)
PLAN_ROWS = ("What", "Watts", "Transmitting, share", "Listening, share", "Frequency")


def worksheet(programme: Programme, width: float, *, us: bool = False) -> list[Piece]:
    """Return the questions with room for guesses; no answer is anywhere near."""
    return [
        stacked(
            line_of(title_of(programme, question), style=HEADING),
            _question(programme, question, width, us=us),
            gap=0.3 * MM,
        )
        for question in programme.questions
    ]


def title_of(programme: Programme, question: Question) -> str:
    """Return the number of a question within its class, and what its lesson is about."""
    number, lesson = programme.number_of(question), question.lesson
    return (
        f"{number}  {lesson.title}"
        if lesson
        else f"Start and end, question {number.rpartition(' ')[2]}"
    )


def _question(programme: Programme, question: Question, width: float, *, us: bool) -> Piece:
    run = programme.run_of(question)
    lines = [paragraph(units.text(run, run.step.question, us=us), width, STRONG)]
    given, answer = units.text(run, run.step.given, us=us), run.step.answer
    if given:
        lines.append(paragraph(given, width))
    if isinstance(answer, ChoiceAnswer | OrderAnswer):
        listed = answer.choices if isinstance(answer, ChoiceAnswer) else answer.items
        lines += [paragraph(f"{letter(i)}   {each.text}", width) for i, each in enumerate(listed)]
    if isinstance(answer, CurveAnswer):
        lines.append(_empty_field(width, run.comparison.clock.start.hour))
    unit = f", {answer.unit}" if isinstance(answer, NumberAnswer) and answer.unit else ""
    rounds = ("First guess", "Second guess", "Measured") if question.lesson else SIX_ROUNDS
    lines.append(_blanks((*(f"{each}{unit}" for each in rounds), f"Run{unit}"), width))
    return stacked(*lines, gap=0.3 * MM)


def _empty_field(width: float, start_hour: int) -> Piece:
    """Return a field of 24 hours to draw a curve into."""
    height, steps = 28 * MM, 8
    marks: list[Mark] = [box(0.0, 0.0, width, height)]
    for step in range(steps + 1):
        x = width * step / steps
        marks.append(box(x, height, 0.0, 1.2 * MM))
        text = f"{(start_hour + step * 24 // steps) % 24:02d}"
        label = line_of(text, x, right=x if step == steps else None)
        marks += label.moved(0.0, height + 1.2 * MM)
    return Piece(height + 1.4 * MM + line_height(), tuple(marks))


def _blanks(labels: Sequence[str], width: float) -> Piece:
    """Return labels in a row, each with a line to write on."""
    each = width / len(labels)
    marks: list[Mark] = []
    for place, label in enumerate(labels):
        words = line_of(f"{label}:", each * place, height=WRITING)
        begin = each * place + width_of(f"{label}:") + 1.5 * MM
        length = each * (place + 1) - begin - 2 * MM
        marks += [*words.marks, rule(begin, WRITING - 1.6 * MM, length)]
    return Piece(WRITING, tuple(marks))


def bench_sheet(width: float, *, us: bool = False) -> list[Piece]:
    """Return the readings to take, with two columns to write in."""
    wide = spread(width, 8, 1.2, 2.2, 2.2)
    columns = [Column(wide[0], lines=2), *(Column(each) for each in wide[1:])]
    rows: list[list[Cell]] = [
        [what, shown_unit(unit, 0, us=us).unit, Blank(), Blank()] for what, unit in BENCH
    ]
    intro = paragraph(
        f"{FUSE.text} {METERING.text} {DUMMY_LOAD.text} {DISCHARGE_TEST.text} The licence holder is"
        " present. Write the date and the battery's rest voltage beside the first line.",
        width,
    )
    header = ("Measure", "Unit", "First time", "Again")
    return [intro, table(columns, rows, header=header, least_height=WRITING * 1.3, ruled=True)]


def plan_sheet(width: float) -> list[Piece]:
    """Return an empty plan of 24 hours, and a budget with one line worked out from a run."""
    return [
        paragraph("Mark blocks from midnight to midnight: watch, net, data, off.", width),
        _strip(width, 0),
        _strip(width, 12),
        line_of("Power budget of 24 hours", style=HEADING),
        _budget(width),
    ]


def _strip(width: float, first_hour: int) -> Piece:
    label = 30 * MM
    hour = (width - label) / 12
    marks: list[Mark] = []
    for place in range(13):
        shift = line_of(f"{first_hour + place:02d}", 0.0)
        marks += shift.moved(label + hour * place - (4 * MM if place == 12 else 2 * MM), 0.0)
    top = line_height() + MM
    for row, name in enumerate(PLAN_ROWS):
        y = top + row * WRITING
        marks += line_of(name, 0.0, height=WRITING).moved(0.0, y)
        marks += [box(label + hour * place, y, hour, WRITING) for place in range(12)]
    return Piece(top + len(PLAN_ROWS) * WRITING, tuple(marks))


def _budget(width: float) -> Piece:
    wide = spread(width, 4, 2, 2, 2)
    scenario = class_day()
    run = simulate(scenario).runs[0]
    assert run is not None
    receive_ah = run.sums.by_use_ah["receive"]
    receive_a = run.station.radio.receive_a
    rows: list[list[Cell]] = [
        [
            "Receiving (worked: one box of the class day)", f"{receive_a:.2f}",
            f"{receive_ah / receive_a:.1f}", f"{receive_ah:.1f}",
        ]
    ]  # fmt: skip
    names = (
        "Receiving",
        "Transmitting, mean current",
        "Amplifier idle",
        "Computer",
        "Light",
        "Other",
    )
    rows += [[name, Blank(), Blank(), Blank()] for name in (*names, "All")]
    columns = [Column(wide[0], lines=2), *(Column(each, "right") for each in wide[1:])]
    header = ("What", "A", "× hours", "= Ah")
    return table(columns, rows, header=header, least_height=WRITING, ruled=True)


def kit_form(width: float) -> list[Piece]:
    """Return the five inputs of one's own kit and the sum to do with them."""
    wide = spread(width, 5, 1, 2.5)
    rows: list[list[Cell]] = []
    for info in MyKit.model_fields.values():
        extra = info.json_schema_extra
        unit = str(extra["unit"]) if isinstance(extra, dict) else ""
        help_text = f" {info.description}" if info.description else ""
        rows.append([f"{info.title}.{help_text}", unit or "share", Blank()])
    columns = [Column(wide[0], lines=3), Column(wide[1]), Column(wide[2])]
    sums = (
        "Battery: label Ah × tested part = ________ Ah",
        "Listening: receive A × (1 − transmit share) = ________ A",
        "Transmitting: transmit A × transmit share = ________ A",
        "Together ________ A × hours a day ________ = ________ Ah a day",
        "Battery Ah ÷ Ah a day × 24 = ________ hours on the battery alone",
        "One thing I will measure at home: ______________________________________",
        "One thing I will switch off first: ______________________________________",
    )
    header = ("Mine", "Unit", "Value")
    return [
        table(columns, rows, header=header, least_height=WRITING * 1.6, ruled=True),
        line_of("The sum", style=HEADING),
        *(line_of(each, height=WRITING * 1.4, style=BODY) for each in sums),
    ]
