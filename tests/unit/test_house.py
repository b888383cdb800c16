"""House rules that the linters cannot check. Each rule is also shown a fault that it must find."""

from __future__ import annotations

import ast
import re
import subprocess
import sys
from collections.abc import Callable, Iterator
from functools import cache
from itertools import zip_longest
from pathlib import Path

import pytest
from PySide6.QtGui import QFontDatabase

from app.resources import resource
from model.support import figures

ROOT = Path(__file__).resolve().parents[2]
TOP_LEVEL = {
    "README.md", "DEVELOPERS.md", "pyproject.toml", "model", "app", "assets", "scenarios", "tests",
}  # fmt: skip
# Made by tools and never committed.
BY_PRODUCTS = {"__pycache__", "build", "dist"}
# A test file lists cases; a module has one subject.
LINES_LIMIT = {"model": 400, "app": 400, "tests": 600}
FUNCTION_LINES_LIMIT = 60
# The step rule reads as one text: calls would cost a tenth of a run.
ONE_LONG_RULE = "model/engine/step.py"
VAGUE_NAMES = {"utils", "util", "helpers", "helper", "manager", "common", "misc"}

UNITS = (
    "a a2 ah wh w v ohm mohm w_m2 m_s m mm mm2 kg lb c k per_c deg h hours s min minutes days"
    " hour db dbi mhz hz okta km wh_m2"
)
PURE_NUMBERS = (
    "fraction share efficiency losses albedo spread cost factor exponent gain ratio residual excess"
    " index scale clearness sd"
)
UNIT_ENDING = re.compile(r"(?:^|_)(?:" + "|".join((UNITS + " " + PURE_NUMBERS).split()) + r")$")
FLOAT_TYPES = {"float", "float64", "Number", "Floats"}
ARRAY_TYPES = {"Floats", "ArrayLike", "NDArray", "ndarray"}
UNIT_SAID = re.compile(r"\[[^\]]+\]")
GIVES_NOTHING = {"None", "Search[None]"}
# Bounds and size of whatever field is described; its unit stands beside them.
UNIT_BESIDE = {"low", "high", "value", "values", "now", "expected"}
# Groups whose one unit stands in the name they are kept under, as in panel_wh.spilled.
UNIT_IN_THE_GROUP = {"Lowest", "Losses", "PanelEnergy", "TransmitVolts", "Fleet", "SkyClass"}

UNIT_IN_TEXT = re.compile(rf"(?:{figures._UNITS}|d|Hz)(?![\w/²])")
# "A kit that fails" begins a sentence, and days are counted.
PARTED_UNIT = re.compile(rf" (?!A [a-z]|days|d )(?:{figures._UNITS}|Hz)(?![\w/²])(?!-)")

FILES_OF_QT = {
    "QSettings", "QFile", "QSaveFile", "QTemporaryFile", "QTemporaryDir", "QDir", "QDirIterator",
    "QFileInfo", "QFileSystemWatcher", "QFileSystemModel", "QImageReader", "QMovie",
}  # fmt: skip
BOXES = {
    "QMessageBox", "QFileDialog", "QInputDialog", "QColorDialog", "QFontDialog", "QErrorMessage",
    "QProgressDialog", "QPrintDialog", "QPrintPreviewDialog", "QPageSetupDialog",
}  # fmt: skip
CLOCKS = {"now", "utcnow", "today", "getenv", "perf_counter", "time_ns"}
UNREPEATABLE = {"random", "secrets", "uuid", "time"}


def sources(*folders: str) -> list[Path]:
    return sorted(path for folder in folders for path in (ROOT / folder).rglob("*.py"))


@cache
def parsed(path: Path) -> ast.Module:
    return ast.parse(path.read_text(encoding="utf-8"))


def names_in(tree: ast.AST) -> set[str]:
    found = set()
    for node in ast.walk(tree):
        if isinstance(node, ast.Name):
            found.add(node.id)
        elif isinstance(node, ast.Attribute):
            found.add(node.attr)
        elif isinstance(node, ast.alias):
            found.add(node.name.rsplit(".", 1)[-1])
    return found


def attributes_in(tree: ast.AST) -> set[str]:
    return {node.attr for node in ast.walk(tree) if isinstance(node, ast.Attribute)}


def method_calls(tree: ast.AST, name: str) -> Iterator[ast.Call]:
    for node in ast.walk(tree):
        if (
            isinstance(node, ast.Call)
            and isinstance(node.func, ast.Attribute)
            and node.func.attr == name
        ):
            yield node


def fields_without_unit(tree: ast.AST) -> list[str]:
    return [
        f"{owner.name}.{field.target.id}"
        for owner in ast.walk(tree)
        if isinstance(owner, ast.ClassDef) and owner.name not in UNIT_IN_THE_GROUP
        for field in owner.body
        if isinstance(field, ast.AnnAssign)
        and isinstance(field.target, ast.Name)
        and names_in(field.annotation) & FLOAT_TYPES
        and "tuple[tuple[" not in ast.unparse(field.annotation)  # rows of mixed quantities
        and field.target.id not in UNIT_BESIDE
        and not UNIT_ENDING.search(field.target.id)
    ]


def boxes_opened(tree: ast.AST) -> list[str]:
    return sorted(names_in(tree) & BOXES) + [
        f"exec() in line {call.lineno}" for call in method_calls(tree, "exec")
    ]


def files_of_qt(tree: ast.AST) -> list[str]:
    """What of Qt touches a disk by itself, on whatever thread it is used."""
    return sorted(names_in(tree) & FILES_OF_QT)


def lambdas_holding_self(tree: ast.AST) -> list[str]:
    return [
        f"line {call.lineno}"
        for call in method_calls(tree, "connect")
        for argument in call.args
        if isinstance(argument, ast.Lambda) and "self" in names_in(argument)
    ]


def disconnections(tree: ast.AST) -> list[str]:
    return [f"line {call.lineno}" for call in method_calls(tree, "disconnect")]


def outside_influences(tree: ast.AST) -> list[str]:
    """Clock, environment and chance: a pure function reads none of them."""
    found = {name for name in CLOCKS for _ in method_calls(tree, name)}
    found |= attributes_in(tree) & {"environ"}
    for node in ast.walk(tree):
        if isinstance(node, ast.Import):
            found |= {alias.name for alias in node.names} & UNREPEATABLE
        elif isinstance(node, ast.ImportFrom) and node.module in UNREPEATABLE:
            found.add(node.module)
        elif isinstance(node, ast.Attribute) and ast.unparse(node).startswith("np.random"):
            found.add("np.random")
    return sorted(found)


def table_models(tree: ast.AST) -> list[str]:
    return sorted(names_in(tree) & {"QAbstractTableModel", "QTableWidget", "QTableWidgetItem"})


def excused_tests(tree: ast.AST) -> list[str]:
    return sorted(attributes_in(tree) & {"skip", "skipif", "xfail", "importorskip"})


def drawn_by_hand(tree: ast.AST) -> list[str]:
    """A rule of round numbers along a scale, or a choice among the shapes of markers."""
    powers = [f"log10() in line {call.lineno}" for call in method_calls(tree, "log10")]
    shapes = [
        f"the shape of a marker in line {node.lineno}"
        for node in ast.walk(tree)
        if isinstance(node, ast.Compare)
        and ast.unparse(node.left).split(".")[-1] == "marker"
        and any(isinstance(other, ast.Constant) and other.value for other in node.comparators)
    ]
    return powers + shapes


def units_by_hand(tree: ast.AST) -> list[str]:
    """Where a unit is hung on a number by other means than the functions for it."""
    return [
        f"line {text.lineno}"
        for text in ast.walk(tree)
        if isinstance(text, ast.JoinedStr)
        for number, space, unit in zip(text.values, text.values[1:], text.values[2:], strict=False)
        if is_held(space, "NBSP") and not is_held(number, "MINUS") and is_unit(unit)
    ]


def parted_units(tree: ast.AST) -> list[str]:
    """Where a line may end between a number and its unit: they are joined by a plain space."""
    return [
        f"line {text.lineno}"
        for text in ast.walk(tree)
        if isinstance(text, ast.JoinedStr)
        for number, space, unit in zip_longest(text.values, text.values[1:], text.values[2:])
        if isinstance(number, ast.FormattedValue) and not is_held(number, "MINUS")
        if isinstance(space, ast.Constant)
        and (
            PARTED_UNIT.match(str(space.value))
            or (space.value == " " and unit is not None and is_held(unit, "unit"))
        )
    ]


def is_held(piece: ast.expr, ending: str) -> bool:
    """Whether a piece of an f-string is a value under a name that ends so."""
    return isinstance(piece, ast.FormattedValue) and ast.unparse(piece.value).endswith(ending)


def is_unit(piece: ast.expr) -> bool:
    if isinstance(piece, ast.Constant):
        return bool(UNIT_IN_TEXT.match(str(piece.value)))
    return is_held(piece, "unit")


def quantities(annotation: ast.AST | None) -> tuple[bool, bool]:
    """Return whether a type holds numbers that need a unit, and whether they stand in arrays."""
    names = names_in(annotation) if annotation else set()
    return bool(names & (FLOAT_TYPES | {"ArrayLike", "Each"})), bool(names & ARRAY_TYPES)


def section(docstring: str, name: str) -> str:
    found = re.search(rf"^{name}\n-+\n(.*?)(?=\n\n[A-Z]\w+\n---|\Z)", docstring, re.M | re.S)
    return found[1] if found else ""


def told(entries: str) -> dict[str, str]:
    """Return what a section says of each name."""
    names: list[str] = []
    said: dict[str, str] = {}
    for line in entries.splitlines():
        if begin := re.match(r"(\w+(?:, \w+)*) :", line):
            names = begin[1].split(", ")
        said |= {name: said.get(name, "") + line for name in names}
    return said


def untold(said: str | None, needs: tuple[bool, bool]) -> bool:
    has_numbers, has_arrays = needs
    return has_numbers and (
        said is None or not UNIT_SAID.search(said) or (has_arrays and "shape" not in said)
    )


def docstrings_without_unit(tree: ast.AST) -> list[str]:
    """Public functions and classes that do not tell unit and shape of what they take and give."""
    assert isinstance(tree, ast.Module)
    found = []
    for node in tree.body:
        if isinstance(node, ast.FunctionDef) and not node.name.startswith("_"):
            said = ast.get_docstring(node) or ""
            parameters = told(section(said, "Parameters"))
            takes = {
                each.arg: quantities(each.annotation)
                for each in (*node.args.posonlyargs, *node.args.args, *node.args.kwonlyargs)
            }
            found += [
                f"{node.name}: {name}"
                for name, needs in takes.items()
                if untold(parameters.get(name), needs)
            ]
            gives, returned = quantities(node.returns), section(said, "Returns").lower()
            gives_nothing = node.returns is None or ast.unparse(node.returns) in GIVES_NOTHING
            if untold(returned, gives) or (
                not returned and not gives_nothing and any(needs[0] for needs in takes.values())
            ):
                found.append(f"{node.name}: Returns")
        elif isinstance(node, ast.ClassDef) and not node.name.startswith("_"):
            said = ast.get_docstring(node) or ""
            attributes = told(section(said, "Attributes"))
            # One unit may stand for all in the head.
            head = said.split("\n\nAttributes")[0]
            found += [
                f"{node.name}.{field.target.id}"
                for field in node.body
                if isinstance(field, ast.AnnAssign) and isinstance(field.target, ast.Name)
                if quantities(field.annotation)[0]
                if not UNIT_SAID.search(head + attributes.get(field.target.id, ""))
            ]
    return found


Rule = Callable[[ast.AST], list[str]]
# The rule, the folders where it holds, the modules that are exceptions, a fault it must find.
RULES: list[tuple[Rule, str, set[str], str]] = [
    (fields_without_unit, "model", set(), "class Radio:\n    receive: float = 0.1"),
    # A file is written under a name nobody else uses before it takes its place.
    (outside_influences, "model", {"model/files/atomic_write.py"}, "at = datetime.now()"),
    (
        boxes_opened,
        "app",
        {"app/widgets/dialogs.py", "app/window.py"},
        "QMessageBox.warning(w, '', '')",
    ),
    (files_of_qt, "app", set(), "from PySide6.QtCore import QSettings"),
    (lambdas_holding_self, "app", set(), "self.b.clicked.connect(lambda: self.save())"),
    (disconnections, "app", set(), "self.b.clicked.disconnect(self.save)"),
    # The step of a number typed by hand is a power of ten as well.
    (
        drawn_by_hand,
        "app",
        {"app/charts/scale.py", "app/charts/markers.py", "app/widgets/number_text.py"},
        "if style.marker == 's': drawRect()",
    ),
    # Tables that are read share one model, those that are typed in another; the sheet has its own.
    (
        table_models,
        "app",
        {
            "app/widgets/table_model.py",
            "app/widgets/typed_table.py",
            "app/editors/sheet/model.py",
        },
        "class Mine(QAbstractTableModel): ...",
    ),
    (
        units_by_hand,
        "model app",
        {"model/support/figures.py"},
        'said = f"{value:.1f}{NBSP}Ah left"',
    ),
    (
        parted_units,
        "app",
        {"app/pages/group/board_model.py"},
        'said = f"at {mhz:.3f} MHz, {plain(rf_w, 1)} W"',
    ),
    (excused_tests, "tests", {"tests/unit/test_house.py"}, "@pytest.mark.xfail\ndef test(): ..."),
]
each_rule = pytest.mark.parametrize("rule", RULES, ids=[rule[0].__name__ for rule in RULES])


@each_rule
def test_a_rule_holds_throughout(rule: tuple[Rule, str, set[str], str]) -> None:
    find, folder, exceptions, _ = rule
    faults = {
        name: found
        for path in sources(*folder.split())
        if (name := path.relative_to(ROOT).as_posix()) not in exceptions
        and (found := find(parsed(path)))
    }
    assert faults == {}


# Rooms whose public functions and classes tell unit and shape of every number.
TOLD_ROOMS = ("sky", "station", "engine", "odds", "sizing")
A_FAULT = """
def drawn(light: Floats, panel: Panel) -> Floats:
    \"\"\"Return what a panel gives.

    Parameters
    ----------
    light : what falls on it, shape (steps,).
    panel : of the station.

    Returns
    -------
    Power [W].
    \"\"\"
class Lead:
    \"\"\"A lead.\"\"\"

    ohm: float
"""


@pytest.mark.parametrize("room", TOLD_ROOMS)
def test_units_and_shapes_are_told(room: str) -> None:
    faults = {
        path.name: found
        for path in sources(f"model/{room}")
        if (found := docstrings_without_unit(parsed(path)))
    }
    assert faults == {}


def test_a_unit_and_a_shape_not_told_are_found() -> None:
    faults = docstrings_without_unit(ast.parse(A_FAULT))
    assert faults == ["drawn: light", "drawn: Returns", "Lead.ohm"]


@each_rule
def test_a_rule_finds_a_planted_fault(rule: tuple[Rule, str, set[str], str]) -> None:
    find, _, _, fault = rule
    assert find(ast.parse(fault))


def test_the_top_level_holds_only_what_belongs_there() -> None:
    entries = {path.name for path in ROOT.iterdir() if not path.name.startswith(".")}
    assert entries - TOP_LEVEL - BY_PRODUCTS == set()


@pytest.mark.parametrize("folder", LINES_LIMIT)
def test_no_file_is_longer_than_one_can_read(folder: str) -> None:
    lengths = {
        path.relative_to(ROOT).as_posix(): len(path.read_text(encoding="utf-8").splitlines())
        for path in sources(folder)
    }
    assert {name: lines for name, lines in lengths.items() if lines > LINES_LIMIT[folder]} == {}


def test_no_function_is_longer_than_one_can_read() -> None:
    lengths = {
        f"{path.relative_to(ROOT).as_posix()}: {node.name}": node.end_lineno - node.lineno + 1
        for path in sources("app", "model")
        if path.relative_to(ROOT).as_posix() != ONE_LONG_RULE
        for node in ast.walk(parsed(path))
        if isinstance(node, ast.FunctionDef) and node.end_lineno is not None
    }
    assert {name: lines for name, lines in lengths.items() if lines > FUNCTION_LINES_LIMIT} == {}


def test_no_room_takes_a_private_name_of_another() -> None:
    taken = [
        f"{path.relative_to(ROOT).as_posix()}: {alias.name}"
        for path in sources("app", "model")
        for node in ast.walk(parsed(path))
        if isinstance(node, ast.ImportFrom) and node.module
        for alias in node.names
        if alias.name.startswith("_") and node.module.split(".")[0] in ("app", "model")
    ]
    assert taken == []


def test_a_module_is_named_for_its_subject() -> None:
    assert [path for path in sources("app", "model", "tests") if path.stem in VAGUE_NAMES] == []


def test_the_continuous_check_runs_the_same_command_as_a_person() -> None:
    check = ROOT / ".ci" / "run"
    assert "sh tests/run" in check.read_text(encoding="utf-8")
    assert check.stat().st_mode & 0o100


def test_a_run_without_a_window_imports_no_qt() -> None:
    scenario = min((ROOT / "scenarios").glob("*.toml"))
    program = (
        "import runpy, sys\n"
        f"sys.argv = ['counterpoise', 'run', {str(scenario)!r}]\n"
        "try:\n"
        "    runpy.run_module('app', run_name='__main__')\n"
        "except SystemExit as end:\n"
        "    assert not end.code, end.code\n"
        "qt = {'PySide6', 'shiboken6', 'pyqtgraph'} & set(sys.modules)\n"
        "assert not qt, qt\n"
    )
    done = subprocess.run(
        [sys.executable, "-c", program], cwd=ROOT, capture_output=True, text=True, check=False
    )
    assert done.returncode == 0, done.stderr
    assert done.stdout.strip()


@pytest.mark.parametrize("name", ["assets", "scenarios"])
def test_a_resource_is_found(name: str) -> None:
    assert resource(name).is_dir()


@pytest.mark.parametrize("name", ["", "model", "/etc", "assets/../pyproject.toml"])
def test_only_assets_and_scenarios_are_resources(name: str) -> None:
    with pytest.raises(ValueError, match="assets or scenarios"):
        resource(name)


def test_a_missing_resource_is_named() -> None:
    with pytest.raises(FileNotFoundError, match=r"scenarios/nowhere\.toml"):
        resource("scenarios/nowhere.toml")


@pytest.mark.usefixtures("qapp")
def test_text_is_drawn_with_a_real_font() -> None:
    # Without any font Qt says nothing and draws nothing, and every check of layout is void.
    assert "DejaVu Sans" in QFontDatabase.families()
