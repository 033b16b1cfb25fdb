"""Mutants of a source for `mutate.py`: which there are, what they change, a sample, and what its share is worth."""

import ast
import importlib
import math
import random
import warnings
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path
from types import CodeType
from typing import Any

LEFT_OUT = ("LShift", "RShift", "BitOr", "BitAnd", "BitXor", "Invert", "FloorDiv", "Mod", "Variable")


@dataclass(frozen=True)
class Mutant:
    """One change: the place among all that its operator can change in a module, and the line."""

    module: str
    line: int
    operator: str
    occurrence: int

    def source(self, original: str) -> str:
        """The module's text with the change; as it was when nothing comes of it."""
        mutate_code = importlib.import_module("cosmic_ray.mutating").mutate_code
        return str(mutate_code(original, operators()[self.operator], self.occurrence) or original)


def operators() -> dict[str, Any]:
    """The mutation operators in use."""
    provider = importlib.import_module("cosmic_ray.operators.provider").OperatorProvider()
    return {name: provider[name]() for name in provider if not any(word in name for word in LEFT_OUT)}


def mutants(module: str, source: str) -> Iterator[Mutant]:
    """Every mutant of a module."""
    trees = importlib.import_module("cosmic_ray.ast")
    nodes = list(trees.ast_nodes(trees.get_ast(source)))
    for name, operator in operators().items():
        occurrence = 0
        for node in nodes:
            for start, _ in operator.mutation_positions(node):
                if not _says_nothing(node, name):
                    yield Mutant(module, start[0], name, occurrence)
                occurrence += 1


def _says_nothing(node: Any, operator: str) -> bool:
    """Whether a change is in an annotation, or of a decorator that only makes things fast."""
    if operator == "RemoveDecorator":
        return node.get_code().strip() in ("@kernel", "@cache")
    while node.parent is not None:
        above = node.parent
        if above.type == "annassign" and node is above.children[1]:
            return True
        if above.type == "tfpdef" or (above.type == "funcdef" and node is above.annotation):
            return True
        node = above
    return False


def change(original: str, text: str) -> str:
    """The first line that differs, before and after."""
    pairs = zip(original.splitlines(), text.splitlines(), strict=False)
    return next((f"{one.strip()}  ->  {other.strip()}" for one, other in pairs if one != other), "")


def compiled(source: str, path: Path) -> CodeType:
    """The module's code; that a mutant compares with `is` where it should not is what is tried, not warned of."""
    with warnings.catch_warnings():
        warnings.simplefilter("ignore", SyntaxWarning)
        return compile(source, str(path), "exec")


def changed_function(path: Path, source: str, line: int) -> CodeType | None:
    """Code that a changed source gives the function in whose body a line of `path` stands; None outside of any."""
    for node in _functions(ast.parse(path.read_text())):
        if node.body[0].lineno <= line <= (node.end_lineno or 0):
            first = min([node.lineno, *(d.lineno for d in node.decorator_list)])
            codes = _codes(compiled(source, path))
            return next((code for code in codes if key_of(code) == (str(path), node.name, first)), None)
    return None


def _functions(node: ast.AST) -> Iterator[ast.FunctionDef]:
    for child in ast.iter_child_nodes(node):
        if isinstance(child, ast.FunctionDef):
            yield child
        elif isinstance(child, ast.ClassDef):
            yield from _functions(child)


def _codes(code: CodeType) -> Iterator[CodeType]:
    for inner in code.co_consts:
        if isinstance(inner, CodeType):
            yield inner
            yield from _codes(inner)


def key_of(code: CodeType) -> tuple[str, str, int]:
    return code.co_filename, code.co_name, code.co_firstlineno


def interval(killed: int, total: int) -> tuple[float, float]:
    """Wilson's 95 % interval of a share. Source: Wilson, J. Am. Stat. Assoc. 22 (1927)."""
    z, n, p = 1.96, max(total, 1), killed / max(total, 1)
    middle, half = p + z * z / (2 * n), z * math.sqrt(p * (1 - p) / n + z * z / (4 * n * n))
    return (middle - half) / (1 + z * z / n), (middle + half) / (1 + z * z / n)


def sampled(everyone: list[Mutant], count: int, seed: int) -> list[Mutant]:
    """A random sample with the same share of each module, in random order."""
    order = random.Random(seed)
    share = count / max(len(everyone), 1)
    taken: list[Mutant] = []
    for module in sorted({m.module for m in everyone}):
        mine = [m for m in everyone if m.module == module]
        taken += order.sample(mine, min(len(mine), math.ceil(share * len(mine))))
    order.shuffle(taken)
    return taken
