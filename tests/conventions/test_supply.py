"""What is installed beside the package: hashed, licensed, used."""

import importlib.util
import re
import tomllib
from importlib.metadata import packages_distributions
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[2]
PROJECT = tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))["project"]
# Free to use beside an Apache-2.0 program: notices only, or a share-alike that stays within the package itself.
FREE = r"Apache-2\.0|MIT|BSD|PSF|ISC|Zlib|CC0|0BSD|LGPL|MPL-2\.0"


# What stands in the settings where a package is a command or a plug-in.
COMMANDS = {
    "ruff": "/ruff",
    "mypy": "/mypy",
    "import-linter": "/lint-imports",
    "mkdocs-material": "name: material",
    "hatchling": "hatchling.build",
    "editables": "-e .",
    "pytest-xdist": "-n 2",
    "pytest-cov": "--cov",
    "pytest-asyncio": "asyncio_mode",
}


def name_of(requirement: str) -> str:
    return re.split(r"[><=~\[ ]", requirement, maxsplit=1)[0]


def test_every_locked_package_has_its_hashes_and_no_address() -> None:
    locked = (ROOT / "requirements.lock").read_text(encoding="utf-8")
    assert "://" not in locked
    packages = re.split(r"^(?=[A-Za-z0-9])", locked, flags=re.MULTILINE)[1:]
    assert len(packages) > 50
    assert [p.splitlines()[0] for p in packages if "==" not in p or "--hash=sha256:" not in p] == []
    names = {p.split("==")[0].lower() for p in packages}
    declared = [*PROJECT["dependencies"], *(r for extra in PROJECT["optional-dependencies"].values() for r in extra)]
    assert {name_of(one).lower() for one in declared} <= names


def test_every_licence_is_stated_and_free() -> None:
    page = (ROOT / "docs" / "licences.md").read_text(encoding="utf-8")
    licences = dict(re.findall(r"^\| (\S+) \| [0-9]\S* \| (.+?) \|$", page, flags=re.MULTILINE))
    assert len(licences) > 100
    assert {name: one for name, one in licences.items() if not re.search(FREE, one)} == {}


def test_the_page_of_licences_is_what_the_packages_state() -> None:
    spec = importlib.util.spec_from_file_location("write_licences", ROOT / "tools" / "write_licences.py")
    assert spec is not None and spec.loader is not None
    module = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(module)
    assert (ROOT / "docs" / "licences.md").read_text(encoding="utf-8") == module.page(), "run `make reference`"


def texts(*folders: str) -> str:
    """Imports in these folders; of tests, also what is imported within a string that another interpreter runs."""
    return "\n".join(path.read_text(encoding="utf-8") for f in folders for path in (ROOT / f).rglob("*.py"))


@pytest.mark.parametrize(
    ("declared", "folders"),
    [
        (PROJECT["dependencies"], ("src",)),
        *((PROJECT["optional-dependencies"][extra], ("src",)) for extra in ("web", "cad", "cluster")),
        (PROJECT["optional-dependencies"]["dev"], ("tests", "tools")),
    ],
    ids=["core", "web", "cad", "cluster", "dev"],
)
def test_no_dependency_is_unused(declared: list[str], folders: tuple[str, ...]) -> None:
    modules: dict[str, set[str]] = {}
    for module, names in packages_distributions().items():
        for name in names:
            modules.setdefault(name.lower(), set()).add(module)
    text = texts(*folders)
    settings = (
        (ROOT / "Makefile").read_text() + (ROOT / "pyproject.toml").read_text() + (ROOT / "mkdocs.yml").read_text()
    )
    unused = [
        name
        for name in map(name_of, declared)
        if not any(re.search(rf"import\w*[ (\"]+{m}\b|from +{m}\b", text) for m in modules.get(name.lower(), ()))
        and COMMANDS.get(name, "\0") not in settings
    ]
    assert unused == []
