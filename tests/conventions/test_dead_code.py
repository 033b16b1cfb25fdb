"""Nothing stands in the package that nobody uses: each function, class, method and constant is named somewhere.

Tests do not count as use; names in `__all__` and docstrings neither, nor an import alone. What is registered by a
decorator (rules, kinds of a dispatch) is used by that; commands and pages are named in strings of two tables.
"""

import ast
from collections import Counter
from collections.abc import Iterator
from pathlib import Path

ROOT = Path(__file__).parents[2]
USERS = [path for folder in ("src", "tools", "benchmarks") for path in (ROOT / folder).rglob("*.py")]
TABLES = [ROOT / "src" / "rotorwright" / name for name in ("cli/main.py", "web/pages.py")]
# Called from outside: the console script, and what the package hands to Python users.
ENTRANCES = {"run", "open_craft", "read_file", "invent_flight"}
# Formulas with published check values that no screen asks for: for whoever computes in Python.
FORMULAS = {
    "blade_element_momentum",
    "path_loss",
    "received_level",
    "eirp_of_field",
    "elevation_in_picture",
    "density_altitude",
    "geopotential",
    "trace_width",
    "minor_diameter",
    "elastomer_modulus_gent",
    "awg_area",
    "fusing_current_onderdonk",
    "fusing_current_preece",
}
CHECKS = {"corners_in_craft", "meets"}
"""Ways to look at a result that only tests need: a picture's overlaps, a mesh's corners."""


def used(path: Path, tree: ast.AST) -> Iterator[str]:
    """Names read in a module; one that it imports counts when it is read, or handed on by a package."""
    for node in ast.walk(tree):
        if isinstance(node, ast.Name) and isinstance(node.ctx, ast.Load):
            yield node.id
        elif isinstance(node, ast.Attribute):
            yield node.attr
        elif isinstance(node, ast.ImportFrom) and path.stem == "__init__":
            yield from (alias.name for alias in node.names)


def defined(tree: ast.Module) -> Iterator[str]:
    """Functions, classes and constants of a module, methods of its classes; functions with a decorator aside."""
    for node in tree.body:
        if isinstance(node, ast.Assign):
            yield from (target.id for target in node.targets if isinstance(target, ast.Name))
        elif isinstance(node, ast.ClassDef):
            yield node.name
            yield from (one.name for one in node.body if isinstance(one, ast.FunctionDef | ast.AsyncFunctionDef))
        elif isinstance(node, ast.FunctionDef | ast.AsyncFunctionDef) and not node.decorator_list:
            yield node.name


def test_everything_is_used() -> None:
    trees = {path: ast.parse(path.read_text(encoding="utf-8")) for path in USERS}
    everywhere = Counter(name for path, tree in trees.items() for name in used(path, tree))
    tables = "".join(path.read_text(encoding="utf-8") for path in TABLES)
    unused = [
        f"{path.relative_to(ROOT)}: {name}"
        for path, tree in trees.items()
        if "src" in path.parts
        for name in defined(tree)
        if not everywhere[name]
        and not name.startswith("__")
        and name not in ENTRANCES | FORMULAS | CHECKS
        and f':{name}"' not in tables
        and f', "{name}")' not in tables
    ]
    assert not unused, "\n".join(unused)
