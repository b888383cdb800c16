"""Which statements of the program the tests run: marks put into its modules as they are loaded.

Tracing every line makes what runs the model take two to three times as long; a mark costs one store
in a list. Statements that follow each other share one mark, before their last: what is marked was
run through, and what an exception cut short was not. A process of a test's own has no marks.
"""

from __future__ import annotations

import ast
import json
import os
import sys
from collections.abc import Iterator, Sequence
from importlib.abc import MetaPathFinder
from importlib.machinery import ModuleSpec, PathFinder, SourceFileLoader
from pathlib import Path
from types import CodeType, ModuleType

ROOT = Path(__file__).resolve().parents[1]
PACKAGES = ("app", "model")
# Names the folder that every process of a test run writes what it ran into.
INTO = "COUNTERPOISE_MARKS"
_NAME = "__marks__"
_run_by_file: dict[str, list[int]] = {}


def marked(source: bytes | str) -> tuple[ast.Module, list[int]]:
    """Return a module with its marks, and how many statements each of these stands for."""
    tree = ast.parse(source)
    statements: list[int] = []
    _mark(tree, statements)
    return ast.fix_missing_locations(tree), statements


def _mark(node: ast.AST, statements: list[int]) -> None:
    for name, held in ast.iter_fields(node):
        if isinstance(held, list) and held and isinstance(held[0], ast.stmt):
            setattr(node, name, list(_with_marks(held, statements)))
        elif name in ("handlers", "cases"):
            for one in held:
                _mark(one, statements)


def _with_marks(block: Sequence[ast.stmt], statements: list[int]) -> Iterator[ast.stmt]:
    waiting = 0
    for index, statement in enumerate(block):
        if _does_nothing(statement):
            yield statement
            continue
        waiting += 1
        _mark(statement, statements)
        rest = block[index + 1 :]
        if _holds_others(statement) or all(_does_nothing(one) for one in rest):
            mark = ast.parse(f"{_NAME}[{len(statements)}] = 1").body[0]
            statements.append(waiting)
            waiting = 0
            yield ast.copy_location(mark, statement)
        yield statement


def _holds_others(statement: ast.stmt) -> bool:
    return isinstance(getattr(statement, "body", None), list) or isinstance(statement, ast.Match)


def _does_nothing(statement: ast.stmt) -> bool:
    """Whether a statement is a docstring, ``...``, for the checker of types or for the parser."""
    match statement:
        case ast.Expr(value=ast.Constant()) | ast.ImportFrom(module="__future__"):
            return True
        case ast.If(test=ast.Name(id="TYPE_CHECKING")):
            return True
    return False


class _MarkedFile(SourceFileLoader):
    def get_code(self, fullname: str) -> CodeType:
        # Neither read from the kept bytecode nor written there.
        path = self.get_filename(fullname)
        tree, statements = marked(self.get_data(path))
        _run_by_file.setdefault(path, [0] * len(statements))
        return compile(tree, path, "exec", dont_inherit=True)

    def exec_module(self, module: ModuleType) -> None:
        code = self.get_code(module.__name__)
        setattr(module, _NAME, _run_by_file[self.path])
        exec(code, module.__dict__)


class _Finder(MetaPathFinder):
    def find_spec(
        self, fullname: str, path: Sequence[str] | None, target: ModuleType | None = None
    ) -> ModuleSpec | None:
        if fullname.partition(".")[0] not in PACKAGES:
            return None
        spec = PathFinder.find_spec(fullname, path, target)
        if spec is not None and isinstance(spec.loader, SourceFileLoader):
            spec.loader = _MarkedFile(spec.loader.name, spec.loader.path)
        return spec


def begin() -> None:
    """Mark what this process loads of the program from here on, if a folder was named."""
    if INTO in os.environ:
        sys.meta_path.insert(0, _Finder())


def store() -> None:
    """Write what this process ran into the folder that was named, if one was."""
    if INTO not in os.environ:
        return
    run = {
        Path(path).relative_to(ROOT).as_posix(): "".join(map(str, marks))
        for path, marks in _run_by_file.items()
    }
    place = Path(os.environ[INTO]) / f"{os.getpid()}.json"
    place.write_text(json.dumps(run), encoding="utf-8")


def counts(folder: Path, root: Path = ROOT) -> dict[str, tuple[int, int]]:
    """Return the statements of each file of a checkout that any process ran, and all it has."""
    runs = [json.loads(path.read_text(encoding="utf-8")) for path in folder.glob("*.json")]
    found = {}
    for package in PACKAGES:
        for path in sorted((root / package).rglob("*.py")):
            name = path.relative_to(root).as_posix()
            statements = marked(path.read_bytes())[1]
            kept = [run[name] for run in runs if name in run]
            ran = sum(
                count
                for index, count in enumerate(statements)
                if any(marks[index] == "1" for marks in kept)
            )
            found[name] = (ran, sum(statements))
    return found
