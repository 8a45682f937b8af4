"""Functions of the search compiled to machine code, and kept beside their source.

They are written over records of arrays (`t.job[j, SECTION]`, `s.crew[c, SIZE]`) and run as plain
Python where NUMBA_DISABLE_JIT is set. For the compiler each record is one flat array of whole
numbers that begins with the shapes of its fields, and `compiled` writes each `t.job[j, SECTION]` as
a place in it: handed over as records of fifty arrays, the same functions take five times as long
to compile, most of it for counting references to arrays.
"""

import ast
import inspect
import tempfile
import textwrap
from collections.abc import Callable
from hashlib import sha256
from os import W_OK, access
from pathlib import Path
from typing import Any, TypeVar, cast

import numba
import numpy as np
from numpy.typing import NDArray

R = TypeVar("R", bound=tuple[object, ...])
F = TypeVar("F", bound=Callable[..., object])
Ints = NDArray[np.int64]

# Whether the functions run as plain Python, to look into them or to test one alone.
PLAIN = bool(numba.config.DISABLE_JIT)  # type: ignore[attr-defined]  # read from the environment
INNER: dict[str, Any] = {"no_cpython_wrapper": True, "no_cfunc_wrapper": True}
OUTER: dict[str, Any] = {"cache": True, "no_cfunc_wrapper": True}

THIS = Path(__file__)
HERE = THIS.parent
AXES = 4
HEAD = 1 + AXES  # of each field: where it begins, then its lengths
FIELDS: dict[str, tuple[str, ...]] = {}


def _cache_folder() -> Path:
    """A folder for what is compiled from these files, beside them where that can be written.

    A compiled function holds what it calls, also from other files, and the compiler would not see
    that one of those has changed: each state of the files with compiled functions has a cache of
    its own.
    """
    told = sha256()
    for file in sorted(HERE.glob("*.py")):
        source = file.read_bytes()
        told.update(source if b"workdays.planner.compiled" in source or file == THIS else b"")
    where = HERE if access(HERE, W_OK) else Path(tempfile.gettempdir())
    return where / "__pycache__" / f"planner-{told.hexdigest()[:16]}"


numba.config.CACHE_DIR = str(_cache_folder())  # type: ignore[attr-defined]  # set for all that follows


def record(kind: type[R]) -> type[R]:
    """Let compiled functions have arguments annotated as this named tuple of arrays."""
    FIELDS[kind.__name__] = kind._fields  # type: ignore[attr-defined]  # a named tuple
    return kind


def flat(parts: R) -> tuple[Ints, R]:
    """Return the arrays of a record in one array behind their shapes, and views of it as before."""
    head, begin = [], HEAD * len(parts)
    arrays = [np.asarray(part, dtype=np.int64) for part in parts]
    for array in arrays:
        lengths = [*array.shape, *[1] * (AXES - array.ndim)]
        head += [begin, *lengths]
        begin += array.size
    memory = np.concatenate([np.array(head, dtype=np.int64), *(a.ravel() for a in arrays)])
    views = (
        memory[at : at + array.size].reshape(array.shape)
        for array, at in zip(arrays, head[::HEAD], strict=True)
    )
    return memory, type(parts)(*views)


class _Flatten(ast.NodeTransformer):
    """Writes fields of records as places in one array."""

    def __init__(self, records: dict[str, tuple[str, ...]]) -> None:
        self.records = records

    def _field(self, node: ast.AST) -> tuple[str, int] | None:
        """The record's name and the place of its head, if this is a field of one."""
        if isinstance(node, ast.Attribute) and isinstance(node.value, ast.Name):
            name = node.value.id
            if name in self.records:
                return name, HEAD * self.records[name].index(node.attr)
        return None

    def visit_Call(self, node: ast.Call) -> ast.AST:  # named by the library
        """Write len(s.field) as its first length."""
        self.generic_visit(node)
        is_len = isinstance(node.func, ast.Name) and node.func.id == "len"
        field = self._field(node.args[0]) if is_len else None
        return ast.copy_location(_head(*field, 1), node) if field else node

    def visit_Subscript(self, node: ast.Subscript) -> ast.AST:  # named by the library
        """Write s.field[i, j] and s.field.shape[n]."""
        if isinstance(node.value, ast.Attribute) and node.value.attr == "shape":
            field = self._field(node.value.value)
            axis = cast(ast.Constant, node.slice).value
            return ast.copy_location(_head(*field, 1 + int(str(axis))), node) if field else node
        field = self._field(node.value)
        self.generic_visit(node)
        if field is None:
            return node
        name, head = field
        indices = node.slice.elts if isinstance(node.slice, ast.Tuple) else [node.slice]
        place: ast.expr = indices[0]
        for axis, index in enumerate(indices[1:], start=2):
            place = ast.BinOp(
                ast.BinOp(place, ast.Mult(), _head(name, head, axis)), ast.Add(), index
            )
        place = ast.BinOp(_head(name, head, 0), ast.Add(), place)
        memory = ast.Name(name, ast.Load())
        return ast.copy_location(ast.Subscript(memory, place, node.ctx), node)


def _head(name: str, head: int, more: int) -> ast.Subscript:
    memory = ast.Name(name, ast.Load())
    return ast.Subscript(memory, ast.Constant(head + more), ast.Load())


def _flattened(function: F) -> F:
    """The same function over flat arrays, with the lines of its source."""
    hints = {name: getattr(kind, "__name__", "") for name, kind in function.__annotations__.items()}
    records = {name: FIELDS[kind] for name, kind in hints.items() if kind in FIELDS}
    tree = ast.parse(textwrap.dedent(inspect.getsource(function)))
    ast.increment_lineno(tree, function.__code__.co_firstlineno - 1)
    one = cast(ast.FunctionDef, tree.body[0])
    one.decorator_list = []
    tree = ast.fix_missing_locations(_Flatten(records).visit(tree))
    found: dict[str, F] = {}
    exec(compile(tree, inspect.getfile(function), "exec"), function.__globals__, found)  # noqa: S102  # of this file
    return found[function.__name__]


def compiled(function: F) -> F:
    """Compile a function that only compiled functions call."""
    if PLAIN:
        return function
    return cast(F, numba.njit(error_model="numpy", **INNER)(_flattened(function)))


def entry(function: F) -> F:
    """Compile a function that is called from Python, and keep it compiled on the disk."""
    if PLAIN:
        return function
    return cast(F, numba.njit(error_model="numpy", **OUTER)(_flattened(function)))
