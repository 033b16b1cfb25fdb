"""House rules that a machine can read: sizes, public names, docstrings, units, and nothing of any one machine."""

import ast
import re
import subprocess
from pathlib import Path

import pytest

ROOT = Path(__file__).parent.parent.parent
SOURCES = sorted((ROOT / "src").rglob("*.py"))
PHYSICS = [file for file in SOURCES if file.parent.name == "physics" and not file.name.startswith("_")]
every_source = pytest.mark.parametrize("file", SOURCES, ids=[str(f.relative_to(ROOT / "src")) for f in SOURCES])
every_physics = pytest.mark.parametrize("file", PHYSICS, ids=[f.name for f in PHYSICS])
Definition = ast.FunctionDef | ast.ClassDef


def tree(file: Path) -> ast.Module:
    return ast.parse(file.read_text(encoding="utf-8"))


def public_names(module: ast.Module) -> list[str] | None:
    for node in module.body:
        targets = node.targets if isinstance(node, ast.Assign) else [getattr(node, "target", None)]
        if [t.id for t in targets if isinstance(t, ast.Name)] == ["__all__"]:
            assert isinstance(node, ast.Assign | ast.AnnAssign) and node.value is not None
            return [str(name) for name in ast.literal_eval(node.value)]
    return None


def definitions(module: ast.Module) -> dict[str, Definition]:
    return {node.name: node for node in module.body if isinstance(node, ast.FunctionDef | ast.ClassDef)}


@every_source
def test_a_module_has_at_most_350_lines(file: Path) -> None:
    lines = file.read_text(encoding="utf-8").count("\n")
    assert lines <= 350


def body_lines(function: ast.FunctionDef) -> int:
    """Lines of a function's body, without its docstring."""
    body = function.body[1:] if ast.get_docstring(function) else function.body
    return (body[-1].end_lineno or 0) - body[0].lineno + 1 if body else 0


@every_source
def test_the_body_of_a_function_has_at_most_60_lines(file: Path) -> None:
    functions = [node for node in ast.walk(tree(file)) if isinstance(node, ast.FunctionDef)]
    assert {f.name: body_lines(f) for f in functions if body_lines(f) > 60} == {}


@every_source
def test_a_module_says_what_it_is_and_what_is_public(file: Path) -> None:
    module = tree(file)
    if not module.body:  # an empty __init__
        return
    assert ast.get_docstring(module), "no docstring"
    if file.name in ("__init__.py", "__main__.py") and not any(
        isinstance(node, ast.Import | ast.ImportFrom | ast.FunctionDef) for node in module.body
    ):
        return
    if file.name != "__main__.py":
        assert public_names(module) is not None, "no __all__"


@every_source
def test_public_names_exist_and_have_docstrings(file: Path) -> None:
    module = tree(file)
    known = definitions(module)
    for name in public_names(module) or []:
        if name in known:
            assert ast.get_docstring(known[name]), name
            if isinstance(known[name], ast.ClassDef):
                for method in known[name].body:
                    if isinstance(method, ast.FunctionDef) and not method.name.startswith("_"):
                        assert ast.get_docstring(method), f"{name}.{method.name}"


def is_number(argument: ast.arg) -> bool:
    """Whether an argument is a number or an array; a record says the units on its fields."""
    return bool(argument.annotation and re.search(r"\b(float|Array|Floats)\b", ast.unparse(argument.annotation)))


@every_physics
def test_public_functions_of_physics_name_their_units(file: Path) -> None:
    """A unit stands in brackets: [m], [kg m2], [-]."""
    module = tree(file)
    known = definitions(module)
    without = [
        name
        for name in public_names(module) or []
        if isinstance(node := known.get(name), ast.FunctionDef)
        and any(is_number(arg) for arg in node.args.args)
        and not re.search(r"\[[^\]]+\]", ast.get_docstring(node) or "")
    ]
    assert without == []


def test_consoles_take_names_for_what_they_are() -> None:
    """A part called [red] or :x: is printed as it is written."""
    for file in (ROOT / "src" / "rotorwright" / "cli").glob("*.py"):
        for call in re.findall(r"\bConsole\(([^)]*)\)", file.read_text(encoding="utf-8")):
            assert "markup=False" in call, file
            assert "emoji=False" in call, file


def tracked() -> list[Path]:
    if not (ROOT / ".git").exists():
        pytest.skip("not a checkout")
    ran = subprocess.run(["git", "ls-files", "-z"], cwd=ROOT, capture_output=True, text=True, check=True)
    return [ROOT / name for name in ran.stdout.split("\0") if name and (ROOT / name).is_file()]


# Spelled in pieces, so that this file does not hold what it looks for.
OF_A_MACHINE = re.compile(
    r"(?<![\w./-])/(?:" + "|".join(("ho" + "me", "ro" + "ot", "wo" + "rk", "Us" + "ers", "tm" + "p")) + r")/\w"
)
REGISTRIES = re.compile(
    r"https?://[\w.-]*(?:" + "|".join(("py" + "pi", "python" + "hosted", "conda", "artifact", "nexus")) + r")", re.I
)


def test_no_tracked_file_holds_a_path_of_a_machine_or_a_registry() -> None:
    found = []
    for file in tracked():
        try:
            text = file.read_text(encoding="utf-8")
        except UnicodeDecodeError:
            continue
        for pattern in (OF_A_MACHINE, REGISTRIES):
            found += [f"{file.relative_to(ROOT)}: {match[0]}" for match in pattern.finditer(text)]
    assert found == []


def test_the_lock_pins_every_package_by_hash() -> None:
    lock = (ROOT / "requirements.lock").read_text(encoding="utf-8")
    pins = re.findall(r"^([A-Za-z0-9_.-]+)==(\S+)", lock, re.M)
    assert len(pins) > 10
    assert lock.count("==") >= len(pins)
    assert len(re.findall(r"--hash=sha256:[0-9a-f]{64}", lock)) >= len(pins)
    blocks = re.split(r"^(?=[A-Za-z0-9_.-]+==)", lock, flags=re.M)[1:]
    assert [block.split("==")[0] for block in blocks if "--hash=" not in block] == []
