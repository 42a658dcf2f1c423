"""`make mutate NAME=food.energy`: would the tests notice if a line of this core module were wrong?

Each mutant is the module with one small change in it: a turned comparison, another sign, a constant off by one, a check
or a caution left out. The tests that speak of the module run against it, and should fail. A mutant that no test can
tell apart is answered in writing in `tests/mutation/<module>.toml`. Exits 1 when fewer than 95 % are killed, a survivor
has no answer, or an answer fits no survivor.

Texts are not mutated: whole-text tests hold those. Each mutant runs in a forked child of a process that has already
collected the tests, so it costs milliseconds; tests that need the database are left out.
"""

import argparse
import ast
import copy
import gc
import importlib
import importlib.abc
import importlib.util
import os
import pickle
import re
import resource
import signal
import sys
import time
import tomllib
import traceback
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from pathlib import Path
from types import CodeType, FrameType, FunctionType, ModuleType

import pytest

ROOT = Path(__file__).parent.parent
CORE = ROOT / "src" / "fillmark" / "core"
ANSWERS = ROOT / "tests" / "mutation"
TEST_FOLDERS = ("core", "references", "spec", "properties")
LEAST_KILLED_PERCENT = 95.0
MOST_MEMORY_BYTES = 6 * 2**30

_COMPARISONS: dict[type[ast.cmpop], type[ast.cmpop]] = {
    ast.Lt: ast.LtE,
    ast.LtE: ast.Lt,
    ast.Gt: ast.GtE,
    ast.GtE: ast.Gt,
    ast.Eq: ast.NotEq,
    ast.NotEq: ast.Eq,
    ast.Is: ast.IsNot,
    ast.IsNot: ast.Is,
    ast.In: ast.NotIn,
    ast.NotIn: ast.In,
}
_ARITHMETIC: dict[type[ast.operator], type[ast.operator]] = {
    ast.Add: ast.Sub,
    ast.Sub: ast.Add,
    ast.Mult: ast.Div,
    ast.Div: ast.Mult,
    ast.FloorDiv: ast.Div,
    ast.Mod: ast.Mult,
    ast.Pow: ast.Mult,
    ast.BitAnd: ast.BitOr,
    ast.BitOr: ast.BitAnd,
}
_CALLS = {"min": "max", "max": "min", "any": "all", "all": "any", "ceil": "floor", "floor": "ceil"}
_NEGATED_ALREADY = (ast.Eq, ast.NotEq, ast.Is, ast.IsNot, ast.In, ast.NotIn)


@dataclass(frozen=True)
class Slot:
    """Where a node hangs in the tree."""

    parent: ast.AST
    field: str
    index: int | None

    def put(self, node: ast.AST) -> None:
        if self.index is None:
            setattr(self.parent, self.field, node)
        else:
            getattr(self.parent, self.field)[self.index] = node


@dataclass(frozen=True)
class Mutant:
    """One changed line: where it is, the text before and after, and the node that makes it."""

    function: str
    line: int
    was: str
    now: str
    slot: Slot
    node: ast.AST
    other: ast.AST
    in_body: bool  # of a function: its code can be exchanged in place

    @property
    def key(self) -> tuple[str, str, str]:
        return self.function, self.was, self.now

    def compile(self, tree: ast.Module, path: Path) -> CodeType:
        self.slot.put(self.other)
        try:
            return compile(tree, str(path), "exec")
        finally:
            self.slot.put(self.node)


def _variants(node: ast.AST) -> Iterator[ast.AST]:
    """Every change that is made at this node."""
    match node:
        case ast.Compare(left=left, ops=ops, comparators=comparators):
            for index, op in enumerate(ops):
                turned = [*ops[:index], _COMPARISONS[type(op)](), *ops[index + 1 :]]
                yield ast.Compare(left=left, ops=turned, comparators=comparators)
        case ast.BinOp(left=left, op=op, right=right) if type(op) in _ARITHMETIC:
            yield ast.BinOp(left=left, op=_ARITHMETIC[type(op)](), right=right)
        case ast.AugAssign(target=target, op=op, value=value) if type(op) in _ARITHMETIC:
            yield ast.AugAssign(target=target, op=_ARITHMETIC[type(op)](), value=value)
            yield ast.Assign(targets=[target], value=value)
        case ast.BoolOp(op=op, values=values):
            yield ast.BoolOp(op=ast.Or() if isinstance(op, ast.And) else ast.And(), values=values)
        case ast.UnaryOp(op=ast.Not() | ast.USub(), operand=operand):
            yield copy.copy(operand)
        case ast.Constant(value=bool(value)):
            yield ast.Constant(value=not value)
        case ast.Constant(value=int(value) | float(value)):
            yield ast.Constant(value=value + 1)
        case ast.Return(value=value) if value is not None and not _is_none(value):
            yield ast.Return(value=ast.Constant(value=None))
        case ast.If(test=test, body=body, orelse=orelse) if not _turns_itself(test):
            yield ast.If(test=ast.UnaryOp(op=ast.Not(), operand=test), body=body, orelse=orelse)
        case ast.IfExp(test=test, body=body_value, orelse=other_value) if not _turns_itself(test):
            yield ast.IfExp(test=ast.UnaryOp(op=ast.Not(), operand=test), body=body_value, orelse=other_value)
        case ast.Expr(value=ast.Call()) | ast.Raise():
            yield ast.Pass()
        case ast.keyword(arg="cautions", value=value) if not (isinstance(value, ast.Tuple) and not value.elts):
            yield ast.keyword(arg="cautions", value=ast.Tuple(elts=[], ctx=ast.Load()))
        case ast.Break():
            yield ast.Continue()
        case ast.Continue():
            yield ast.Break()
        case ast.Call(func=ast.Name(id=name), args=args, keywords=keywords) if name in _CALLS:
            yield ast.Call(func=ast.Name(id=_CALLS[name], ctx=ast.Load()), args=args, keywords=keywords)
        case ast.Call(func=ast.Attribute(value=value, attr=name), args=args, keywords=keywords) if name in _CALLS:
            attribute = ast.Attribute(value=value, attr=_CALLS[name], ctx=ast.Load())
            yield ast.Call(func=attribute, args=args, keywords=keywords)


def _is_none(node: ast.AST) -> bool:
    return isinstance(node, ast.Constant) and node.value is None


def _turns_itself(test: ast.AST) -> bool:
    """Whether a mutant inside this condition negates it already."""
    match test:
        case ast.Compare(ops=[op]):
            return isinstance(op, _NEGATED_ALREADY)
        case ast.UnaryOp(op=ast.Not()):
            return True
    return False


def _children(node: ast.AST) -> Iterator[tuple[Slot, ast.AST]]:
    """What hangs below a node, without types, decorators, assertions, `strict=` and variance, which compute nothing."""
    for field, value in ast.iter_fields(node):
        if field in ("annotation", "returns", "decorator_list", "type_comment"):
            continue
        for index, child in enumerate(value) if isinstance(value, list) else [(None, value)]:
            is_idle = isinstance(child, ast.keyword) and child.arg in ("strict", "covariant")
            if isinstance(child, ast.AST) and not isinstance(child, ast.Assert) and not is_idle:
                yield Slot(node, field, index), child


def find_mutants(tree: ast.Module, source: str) -> list[Mutant]:
    """Every mutant of a module, in the order of its text."""
    found: list[Mutant] = []
    lines = source.splitlines()

    def texts(slot: Slot, node: ast.AST, other: ast.AST, whole: ast.JoinedStr | None) -> tuple[str, str]:
        """The line before and after; a whole f-string, whose parts have no exact place before Python 3.12."""
        if isinstance(node, ast.If) and isinstance(other, ast.If):
            return f"if {ast.unparse(node.test)}:", f"if {ast.unparse(other.test)}:"
        if whole is not None:
            was = ast.unparse(whole)
            slot.put(other)
            now = ast.unparse(whole)
            slot.put(node)
            return was, now
        first, last = node.lineno - 1, node.end_lineno  # type: ignore[attr-defined]
        text = [line.encode() for line in lines[first:last]]
        before, after = text[0][: node.col_offset].decode(), text[-1][node.end_col_offset :].decode()  # type: ignore[attr-defined]
        changed = ast.unparse(other)
        if isinstance(other, ast.BoolOp | ast.IfExp):
            changed = f"({changed})"
        return " ".join(b"\n".join(text).decode().split()), " ".join(f"{before}{changed}{after}".split())

    def walk(node: ast.AST, function: str, line: int, in_body: bool, whole: ast.JoinedStr | None) -> None:
        for slot, child in _children(node):
            name, is_body = function, in_body
            if isinstance(child, ast.FunctionDef | ast.ClassDef):
                name = f"{function}.{child.name}" if function else child.name
            if isinstance(node, ast.FunctionDef) and slot.field == "body":
                is_body = True
            at = getattr(child, "lineno", line) if whole is None else line
            for variant in _variants(child):
                other = ast.fix_missing_locations(ast.copy_location(variant, child))
                was, now = texts(slot, child, other, whole)
                found.append(Mutant(name, at, was, now, slot, child, other, is_body))
            walk(child, name, at, is_body, child if isinstance(child, ast.JoinedStr) and whole is None else whole)

    walk(tree, "", 1, False, None)
    return found


def _codes(code: CodeType) -> Iterator[CodeType]:
    """Every code object inside another, functions and classes."""
    for inner in code.co_consts:
        if isinstance(inner, CodeType):
            yield inner
            yield from _codes(inner)


def _place(code: CodeType) -> tuple[str, int]:
    return code.co_qualname, code.co_firstlineno


def exchange_code(module: ModuleType, code: CodeType) -> None:
    """Give the module's functions the mutant's code, wherever they were already imported to."""
    changed = {_place(inner): inner for inner in _codes(code)}
    for thing in gc.get_objects():
        if isinstance(thing, FunctionType) and thing.__code__.co_filename == module.__file__:
            other = changed.get(_place(thing.__code__))
            if other is not None and other.co_freevars == thing.__code__.co_freevars:
                thing.__code__ = other
        elif hasattr(type(thing), "cache_clear"):
            thing.cache_clear()


class _ServeMutant(importlib.abc.MetaPathFinder, importlib.abc.Loader):
    """Imports the module from the mutant's code."""

    def __init__(self, name: str, path: Path, code: CodeType) -> None:
        self.name, self.path, self.code = name, path, code

    def find_spec(self, name: str, *_: object) -> object:
        return importlib.util.spec_from_file_location(name, self.path, loader=self) if name == self.name else None

    def create_module(self, _: object) -> None:
        return None

    def exec_module(self, module: ModuleType) -> None:
        exec(self.code, vars(module))


def tests_of(name: str) -> list[str]:
    """Test files that speak of the module, its own first."""
    own = ROOT / "tests" / "core" / Path(*name.split(".")).with_name(f"test_{name.rpartition('.')[2]}.py")
    words = re.compile(rf"fillmark\.core\.{re.escape(name)}\b")
    others = [
        path
        for folder in TEST_FOLDERS
        for path in sorted((ROOT / "tests" / folder).rglob("test_*.py"))
        if path != own and words.search(path.read_text(encoding="utf-8"))
    ]
    return [str(path.relative_to(ROOT)) for path in ([own] if own.exists() else []) + others]


def in_child(work: Callable[[], object], *, seconds: float) -> tuple[bool, object]:
    """Whether the work ended by itself in time, and what it returned; in a forked child, so it leaves no trace."""
    read_end, write_end = os.pipe()
    child = os.fork()
    if child == 0:
        os.close(read_end)
        signal.signal(signal.SIGALRM, signal.SIG_DFL)
        signal.setitimer(signal.ITIMER_REAL, seconds)
        resource.setrlimit(resource.RLIMIT_AS, (MOST_MEMORY_BYTES, MOST_MEMORY_BYTES))
        silence = os.open(os.devnull, os.O_WRONLY)
        os.dup2(silence, 1)
        os.dup2(silence, 2)
        answer: object = True
        try:
            answer = work()
        except BaseException:
            answer = traceback.format_exc()
        finally:
            with os.fdopen(write_end, "wb") as pipe:
                pickle.dump(answer, pipe)
            os._exit(0)
    os.close(write_end)
    with os.fdopen(read_end, "rb") as pipe:
        sent = pipe.read()
    _, status = os.waitpid(child, 0)
    return os.WIFEXITED(status) and bool(sent), pickle.loads(sent) if sent else None


def _run(session: pytest.Session, items: Sequence[pytest.Item]) -> bool:
    """Whether a test failed."""
    for item, following in zip(items, [*items[1:], None], strict=True):
        item.config.hook.pytest_runtest_protocol(item=item, nextitem=following)
        if session.testsfailed:
            return True
    return False


class _Hot:
    """A plug-in that runs each mutant in a fork of the collected session, with the tests that reach its function."""

    def __init__(self, module_name: str, tree: ast.Module, path: Path, mutants: Sequence[Mutant]) -> None:
        self.module_name, self.tree, self.path, self.mutants = module_name, tree, path, mutants
        self.survivors: list[Mutant] = []
        self.problem: str | None = None
        self.seconds = 0.0
        self.tests = 0

    @pytest.hookimpl(tryfirst=True)
    def pytest_runtestloop(self, session: pytest.Session) -> bool:
        items = _without_database(session.items)
        self.tests = len(items)
        module = importlib.import_module(self.module_name)
        start = time.perf_counter()
        ended, reached = in_child(lambda: self._reached(session, items, module), seconds=900)
        self.seconds = time.perf_counter() - start
        if not ended or not isinstance(reached, dict):
            self.problem = f"{self.module_name}: {reached} fails without any mutant; mend it first"
            return True
        for mutant in self.mutants:
            function = mutant.function.split(".")
            indexes = reached.get(mutant.function) or reached.get(".".join(function[:-1])) or range(len(items))
            chosen = [items[index] for index in indexes]
            code = mutant.compile(self.tree, self.path)

            def try_mutant(code: CodeType = code, chosen: list[pytest.Item] = chosen) -> bool:
                exchange_code(module, code)
                return _run(session, chosen)

            ended, failed = in_child(try_mutant, seconds=3 * self.seconds + 5)
            if ended and failed is False:
                self.survivors.append(mutant)
        return True

    def _reached(self, session: pytest.Session, items: Sequence[pytest.Item], module: ModuleType) -> object:
        """The tests that enter each function, quickest first; None when one fails."""
        seconds: dict[int, float] = {}
        reached: dict[str, list[int]] = {}
        for index, item in enumerate(items):
            entered: set[str] = set()

            def note(frame: FrameType, event: str, _: object, entered: set[str] = entered) -> None:
                code = frame.f_code
                if event == "call" and code.co_filename == module.__file__:
                    entered.add(code.co_qualname.partition(".<locals>")[0])

            start = time.perf_counter()
            sys.setprofile(note)
            failed = _run(session, [item])
            sys.setprofile(None)
            seconds[index] = time.perf_counter() - start
            if failed:
                return item.nodeid
            for name in entered:
                reached.setdefault(name, []).append(index)
        return {name: sorted(indexes, key=lambda index: seconds[index]) for name, indexes in reached.items()}


def _without_database(items: Sequence[pytest.Item]) -> list[pytest.Item]:
    needs = {"db", "transactional_db", "django_db_setup"}
    return [item for item in items if not needs & set(getattr(item, "fixturenames", ()))]


def _arguments(files: Sequence[str]) -> list[str]:
    quietly = ["-q", "-s", "-x", "-p", "no:cacheprovider", "-W", "ignore::pytest.PytestAssertRewriteWarning"]
    return [*files, *quietly, "--hypothesis-profile=mutate"]


class _DeselectDatabase:
    def pytest_collection_modifyitems(self, items: list[pytest.Item]) -> None:
        items[:] = _without_database(items)


def survivors_of(name: str, mutants: Sequence[Mutant], tree: ast.Module, path: Path) -> tuple[list[Mutant], int]:
    """The mutants that no test noticed, and how many tests there were."""
    files = tests_of(name)
    if not files:
        raise SystemExit(f"{name}: no test speaks of fillmark.core.{name}")
    module_name = f"fillmark.core.{name}"

    def hot() -> object:
        plugin = _Hot(module_name, tree, path, [mutant for mutant in mutants if mutant.in_body])
        code = pytest.main(_arguments(files), plugins=[plugin])
        if plugin.problem or code not in (pytest.ExitCode.OK, pytest.ExitCode.NO_TESTS_COLLECTED):
            return plugin.problem or f"{name}: its tests cannot be collected ({code!r}); run pytest"
        survived = {id(mutant) for mutant in plugin.survivors}
        return [index for index, mutant in enumerate(mutants) if id(mutant) in survived], plugin.seconds, plugin.tests

    ended, answer = in_child(hot, seconds=7200)
    if not ended or not isinstance(answer, tuple) or not answer[2]:
        raise SystemExit(answer if isinstance(answer, str) else f"{name}: its tests cannot be collected; run pytest")
    indexes, seconds, tests = answer
    survived = set(indexes)
    for index, mutant in enumerate(mutants):
        if mutant.in_body:
            continue
        code = mutant.compile(tree, path)

        def cold(code: CodeType = code) -> bool:
            sys.meta_path.insert(0, _ServeMutant(module_name, path, code))
            return pytest.main(_arguments(files), plugins=[_DeselectDatabase()]) != pytest.ExitCode.OK

        ended, failed = in_child(cold, seconds=3 * seconds + 30)
        if ended and failed is False:
            survived.add(index)
    return [mutant for index, mutant in enumerate(mutants) if index in survived], tests


def read_answers(name: str) -> dict[tuple[str, str, str], str]:
    """Why each answered survivor cannot be told apart, by its place."""
    path = ANSWERS / f"{name}.toml"
    if not path.exists():
        return {}
    return {
        (answer["function"], answer["was"], answer["now"]): answer["why"]
        for answer in tomllib.loads(path.read_text(encoding="utf-8"))["equivalent"]
    }


def _show(mutant: Mutant) -> str:
    """As it would stand in the file of answers."""
    fields = {"function": mutant.function, "was": mutant.was, "now": mutant.now}
    quoted = [f"{key} = {_toml(value)}" for key, value in fields.items()]
    return "\n".join([f"# line {mutant.line}", "[[equivalent]]", *quoted])


def _toml(text: str) -> str:
    if "'" not in text:
        return f"'{text}'"
    return '"' + text.replace("\\", "\\\\").replace('"', '\\"') + '"'


def mutate(name: str, *, only: str | None = None) -> bool:
    """Print one line for a module, and each survivor without an answer; whether it holds."""
    path = CORE / Path(*name.split(".")).with_suffix(".py")
    if not path.exists():
        raise SystemExit(f"there is no {path.relative_to(ROOT)}")
    source = path.read_text(encoding="utf-8")
    tree = ast.parse(source)
    mutants = [mutant for mutant in find_mutants(tree, source) if only is None or mutant.function.startswith(only)]
    start = time.perf_counter()
    survivors, tests = survivors_of(name, mutants, tree, path)
    answers = read_answers(name)
    unanswered = [mutant for mutant in survivors if mutant.key not in answers]
    unmatched = [] if only else sorted(set(answers) - {mutant.key for mutant in survivors})
    killed = len(mutants) - len(survivors)
    told_apart = killed + len(unanswered)
    percent = 100 * killed / len(mutants)
    print(
        f"{name}: {killed} of {len(mutants)} mutants killed ({percent:.1f} %); {len(survivors)} survived, "
        f"{len(survivors) - len(unanswered)} of them answered as equivalent "
        f"({100 * killed / max(1, told_apart):.1f} % of the rest killed); {tests} tests, "
        f"{time.perf_counter() - start:.0f} s",
        flush=True,
    )
    for mutant in unanswered:
        print(f"\nno test notices, and tests/mutation/{name}.toml has no answer:\n{_show(mutant)}")
    for function, was, now in unmatched:
        print(f"\ntests/mutation/{name}.toml answers what did not survive: {function}: {was} -> {now}")
    return percent >= LEAST_KILLED_PERCENT and not unanswered and not unmatched


def _warm_up() -> None:
    """Import what all tests use once, and nothing of our own: a mutant must be able to take its place."""
    for name in ("django", "hypothesis.internal.conjecture.engine", "numpy", "scipy.optimize"):
        importlib.import_module(name)
    from hypothesis import Phase, settings

    settings.register_profile(
        "mutate",
        deadline=None,
        derandomize=True,
        database=None,
        max_examples=40,
        phases=(Phase.explicit, Phase.generate),
    )


def main() -> int:
    parser = argparse.ArgumentParser(prog="make mutate", description=__doc__)
    known = sorted(path.stem for path in ANSWERS.glob("*.toml"))
    parser.add_argument("names", nargs="*", metavar="NAME", help=f"modules of the core (default: {', '.join(known)})")
    parser.add_argument("--only", metavar="FUNCTION", help="only mutants of functions whose name starts so")
    options = parser.parse_args()
    os.chdir(ROOT)
    sys.path.insert(0, str(ROOT))
    _warm_up()
    held = [mutate(name, only=options.only) for name in options.names or known]
    return 0 if all(held) else 1


if __name__ == "__main__":
    sys.exit(main())
