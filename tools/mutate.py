"""Change one small thing at a time in the physics or the checks, and see whether a test notices.

    python tools/mutate.py physics --sample 200 --seed 1
    python tools/mutate.py checks --only law,rule --sample 50 --work out/mutants

Needs `cosmic-ray` (8.7 was used) beside the development tools, and a system with `fork`: its mutation operators are
used, not its runner. Bit operators are left out, because they only raise errors on real numbers, and so is what
stands in annotations. Kernels run uncompiled. Sources and tests are copied to a folder of their own; a first run
notes which test runs which line and how long each takes. Each mutant then meets tests of its line in a process of
its own, the fastest first, until one fails or `BUDGET` seconds of tests have passed: a wider choice may kill more.
Rotor tables on the disk stay those of the unchanged code. With `--work` the copy, its notes and the outcomes are
kept and used again. Ends with every survivor and a table; `PACKAGE-results.json` in the folder holds the same.
"""

import argparse
import gc
import importlib.util
import json
import math
import os
import resource
import shutil
import signal
import subprocess
import sys
import tempfile
import time
from collections.abc import Callable
from dataclasses import asdict
from pathlib import Path
from types import CodeType, FunctionType
from typing import Any

from mutants import Mutant, change, changed_function, compiled, interval, key_of, mutants, sampled

os.environ |= {"NUMBA_DISABLE_JIT": "1", "PYTHONDONTWRITEBYTECODE": "1", "OMP_NUM_THREADS": "1"}

ROOT = Path(__file__).parents[1]
TESTS = {
    "physics": ("tests/unit/physics", "tests/properties", "tests/validation"),
    "checks": ("tests/unit/checks", "tests/properties/test_checks.py"),
}
# Long runs: about other packages, or of whole craft by the thousand.
SKIPPED = (
    *("search", "measure", "near_front", "front", "frame", "practice", "craft", "ledger", "readings", "shares"),
    *("continuity", "random_craft", "same_bits", "shelf_laws"),
)
# What lies below a package and takes time to import or read is made ready once, before the processes fork.
BELOW = {
    "physics": ("scipy.optimize", "scipy.stats", "tomlkit"),
    "checks": tuple(
        f"rotorwright.{name}"
        for name in ("craft.read", "predict.report", "predict.flight", "predict.clearance", "predict.structure")
    ),
}
# What a mutant did that no test noticed; an error is one of this tool.
LIVED = ("survived", "not covered", "error")
UNMET, BROKEN = 98, 99
# Left out of the shares: Python does not take the text.
NO_CODE = "no code"
# Uncompiled kernels warn of the divisions by zero that compiled ones turn into infinity or NaN.
QUIET = ("-q", "-p", "no:cacheprovider", "--assert=plain", "-W", "ignore::RuntimeWarning")
# Seconds of tests, by the first run, that one mutant meets at most.
BUDGET = 4.0


class Stopwatch:
    """Plugin of pytest that times each test, and lets hypothesis find a failure without shrinking it."""

    def __init__(self, package: str = "") -> None:
        self.package = package
        self.seconds: dict[str, float] = {}
        self.failed = set[str]()
        self.started = 0.0

    def pytest_sessionstart(self) -> None:
        if self.package:  # before any test: what runs at import belongs to none of them
            import_all(self.package)
        from hypothesis import Phase, settings

        found = settings.get_profile("rotorwright")
        settings.register_profile("mutants", found, phases=(Phase.explicit, Phase.generate))
        settings.load_profile("mutants")

    def pytest_runtest_logstart(self) -> None:
        self.started = time.process_time()

    def pytest_runtest_logreport(self, report: Any) -> None:
        if report.failed:
            self.failed.add(report.nodeid)

    def pytest_runtest_logfinish(self, nodeid: str) -> None:
        self.seconds[nodeid] = time.process_time() - self.started


def import_all(package: str) -> None:
    """Import every module of a package; rules are else imported when they are asked for."""
    for file in sorted(_path(Path.cwd(), package, "").parent.glob("[a-z]*.py")):
        importlib.import_module(f"rotorwright.{package}.{file.stem}")


def run_tests(arguments: list[str], *plugins: object) -> int:
    """Exit code of pytest in this process."""
    import pytest

    return int(pytest.main([*QUIET, *arguments], plugins=list(plugins)))


def forked(log: Path, job: Callable[[], int], seconds: float) -> int | None:
    """Exit code of `job` in a process of its own that says nothing; None after `seconds` of its time."""
    child = os.fork()
    if child == 0:
        code = BROKEN
        try:
            resource.setrlimit(resource.RLIMIT_CPU, (math.ceil(seconds), math.ceil(seconds) + 1))
            quiet = os.open(log, os.O_WRONLY | os.O_CREAT | os.O_TRUNC)
            os.dup2(quiet, 1), os.dup2(quiet, 2)
            code = job()
        finally:
            os._exit(code)
    code = os.waitstatus_to_exitcode(os.waitpid(child, 0)[1])
    return None if code in (-signal.SIGXCPU, -signal.SIGKILL) else code


def notes(work: Path, package: str) -> dict[str, Any]:
    """Seconds of each test, and the tests of each line by module, from a run of all tests of a package."""
    kept = work / f"{package}.json"
    if not kept.exists():
        data = work / f"{package}.coverage"
        os.environ["COVERAGE_FILE"] = str(data)
        tests = [str(f) for where in TESTS[package] for f in _files(Path(where))]
        cover = [f"--cov=rotorwright.{package}", "--cov-context=test", "--cov-report="]

        # compiled first, for the rotor tables that tests then find on the disk
        warm = [sys.executable, "-m", "pytest", "-q", "-p", "no:cacheprovider", *tests]
        subprocess.run(warm, env=os.environ | {"NUMBA_DISABLE_JIT": "0"}, stdout=subprocess.DEVNULL, check=True)

        def job() -> int:
            watch = Stopwatch(package)
            run_tests([*cover, *tests], watch)
            # uncompiled kernels raise where compiled ones return NaN: a test of that says nothing of mutants
            passed = {test: time for test, time in watch.seconds.items() if test not in watch.failed}
            if len(watch.failed) <= 0.01 * len(passed):
                kept.write_text(json.dumps({"seconds": passed, "lines": _lines(data)}))
            return len(watch.failed)

        if forked(work / f"{package}.log", job, 7200.0) and not kept.exists():
            raise SystemExit(f"Too many tests fail without any mutant: see {work / package}.log")
    return dict(json.loads(kept.read_text()))


def _files(where: Path) -> list[Path]:
    found = sorted(where.rglob("test_*.py")) if where.is_dir() else [where]
    return [f for f in found if not any(f.stem.startswith(f"test_{word}") for word in SKIPPED)]


def _lines(data: Path) -> dict[str, dict[int, list[str]]]:
    from coverage import CoverageData

    read = CoverageData(str(data))
    read.read()
    return {
        Path(file).stem: {
            line: sorted({context.partition("|")[0] for context in contexts})
            for line, contexts in read.contexts_by_lineno(file).items()
        }
        for file in read.measured_files()
    }


def chosen(known: dict[str, Any], mutant: Mutant) -> list[str]:
    """Tests that run a mutant's line, the fastest first.

    For what runs at import, those of the next line that tests run, which is in the function it decorates or
    describes, and then those of the module.
    """
    lines = {int(line): set(tests) - {""} for line, tests in known["lines"].get(mutant.module, {}).items()}
    first = lines.get(mutant.line) or next((lines[n] for n in sorted(lines) if n > mutant.line and lines[n]), set())
    tests = (lines.get(mutant.line) or {test for found in lines.values() for test in found}) & set(known["seconds"])
    spent, kept = 0.0, list[str]()
    for test in sorted(tests, key=lambda test: (test not in first, known["seconds"][test], test)):
        spent += known["seconds"][test]
        if kept and spent > BUDGET:
            break
        kept.append(test)
    return kept


class Finder:
    """Gives one module from a text instead of from its file."""

    def __init__(self, name: str, path: Path, source: str) -> None:
        self.name, self.path, self.source = name, path, source

    def find_spec(self, name: str, path: Any = None, target: Any = None) -> Any:
        if name != self.name:
            return None
        return importlib.util.spec_from_file_location(name, self.path, loader=self)  # type: ignore[arg-type]

    def create_module(self, spec: Any) -> None:
        return None

    def exec_module(self, module: Any) -> None:
        exec(compiled(self.source, self.path), module.__dict__)


class Meeting:
    """Plugin of pytest that, once the tests are collected, lets every mutant meet those of its line."""

    def __init__(self, work: Path, package: str, sample: list[Mutant], known: dict[str, Any], again: bool) -> None:
        self.work, self.package, self.sample, self.known, self.again = work, package, sample, known, again
        self.log = work / f"{package}.log"
        self.items: dict[str, Any] = {}

    def pytest_runtestloop(self, session: Any) -> bool:
        self.items = {item.nodeid: item for item in session.items}
        import_all(self.package)
        tell(self.work, self.package, self.sample, self.again, self.outcome)
        return True

    def outcome(self, mutant: Mutant) -> str:
        """`killed`, `survived`, `timed out` (which counts as killed), `not covered`, `no code` or `error`."""
        tests = [test for test in chosen(self.known, mutant) if test in self.items]
        if not tests:
            return "not covered"
        path = _path(self.work, self.package, mutant.module)
        source = mutant.source(path.read_text())
        try:
            compiled(source, path)
        except SyntaxError:
            return NO_CODE
        limit = 10.0 + 3.0 * sum(self.known["seconds"][test] for test in tests)
        code: int | None = UNMET
        at_import = "" in self.known["lines"].get(mutant.module, {}).get(str(mutant.line), [])
        if not at_import and (changed := changed_function(path, source, mutant.line)) is not None:
            code = forked(self.log, lambda: self.in_place(changed, tests), limit)
        if code == UNMET:
            code = forked(self.log, lambda: self.afresh(path, source, tests), limit)
        return {None: "timed out", 0: "survived", BROKEN: "error"}.get(code, "killed")

    def in_place(self, changed: CodeType, tests: list[str]) -> int:
        """Run tests with the code of one function exchanged, wherever it is known; 1 when one fails."""
        from _pytest.runner import runtestprotocol

        met = [f for f in gc.get_objects() if isinstance(f, FunctionType) and key_of(f.__code__) == key_of(changed)]
        if not met:
            return UNMET
        for function in met:
            function.__code__ = changed
        items = [self.items[test] for test in tests]
        for item, after in zip(items, [*items[1:], None], strict=True):
            if any(report.failed for report in runtestprotocol(item, log=False, nextitem=after)):
                return 1
        return 0

    def afresh(self, path: Path, source: str, tests: list[str]) -> int:
        """Run tests with the package imported anew, one module of it from a text."""
        for name, module in list(sys.modules.items()):
            if str(getattr(module, "__file__", None) or "").startswith(str(self.work)):
                del sys.modules[name]
        sys.meta_path.insert(0, Finder(f"rotorwright.{self.package}.{path.stem}", path, source))
        return run_tests(["-x", *tests], Stopwatch())


def _path(work: Path, package: str, module: str) -> Path:
    return work / "src/rotorwright" / package / f"{module}.py"


def prepared(work: Path, package: str) -> None:
    """A copy of the sources and tests in `work`, which becomes the current folder."""
    work.mkdir(parents=True, exist_ok=True)
    for name in ("src", "tests"):
        if not (work / name).exists():
            shutil.copytree(ROOT / name, work / name, ignore=shutil.ignore_patterns("__pycache__"))
    shutil.copy(ROOT / "pyproject.toml", work)
    os.chdir(work)
    os.environ |= {"XDG_CACHE_HOME": str(work / "cache"), "PYTHONPATH": str(work / "src")}
    sys.path.insert(0, str(work / "src"))
    for name in ("hypothesis", "numba", "pytest", *BELOW[package]):
        importlib.import_module(name)
    if package == "checks":
        importlib.import_module("rotorwright.parts.shelf").builtin_shelf()


def main() -> None:
    asked = argparse.ArgumentParser(description="Mutation test of one package.")
    asked.add_argument("package", choices=sorted(TESTS))
    asked.add_argument("--sample", type=int, default=200, help="mutants, spread over the modules by their size")
    asked.add_argument("--seed", type=int, default=1)
    asked.add_argument("--only", default="", help="modules, separated by commas")
    asked.add_argument("--work", type=Path, help="folder for the copy, kept and used again")
    asked.add_argument("--again", action="store_true", help="meet those again that an earlier run left alive")
    given = asked.parse_args()
    work = (given.work or Path(tempfile.mkdtemp(prefix="mutants-"))).resolve()
    prepared(work, given.package)
    files = sorted(_path(work, given.package, "air").parent.glob("[a-z]*.py"))
    wanted = set(given.only.split(",")) - {""} or {f.stem for f in files}
    everyone = [mutant for f in files if f.stem in wanted for mutant in mutants(f.stem, f.read_text())]
    sample = sampled(everyone, given.sample, given.seed)
    print(f"{len(everyone)} mutants, {len(sample)} taken", flush=True)
    known = notes(work, given.package)
    run_tests(
        sorted({test.partition("::")[0] for test in known["seconds"]}),
        Meeting(work, given.package, sample, known, given.again),
        Stopwatch(),
    )


def tell(work: Path, package: str, sample: list[Mutant], again: bool, outcome: Callable[[Mutant], str]) -> None:
    """Meet each mutant and print what came out."""
    file = work / f"{package}-results.json"
    before = json.loads(file.read_text()) if file.exists() else []
    done = {(r["module"], r["operator"], r["occurrence"]): r for r in before if not again or r["outcome"] == "killed"}
    results: list[dict[str, Any]] = []
    for mutant in sample:
        met = done.get((mutant.module, mutant.operator, mutant.occurrence))
        if met is None:
            original = _path(work, package, mutant.module).read_text()
            shown = change(original, mutant.source(original))
            met = asdict(mutant) | {"change": shown, "outcome": outcome(mutant)}
        results.append(met)
        file.write_text(json.dumps(results, indent=1))
    results = [result for result in results if result["outcome"] != NO_CODE]
    results.sort(key=lambda result: (result["module"], result["line"]))
    for r in results:
        if r["outcome"] in LIVED:
            print(f"{r['module']}:{r['line']} {r['outcome']}: {r['change']}")
    for module in [*sorted({m.module for m in sample}), ""]:
        mine = [r["outcome"] not in LIVED for r in results if module in ("", r["module"])]
        low, high = interval(sum(mine), len(mine))
        print(f"{module or 'all':20} {sum(mine):5} of {len(mine):5} killed, {low:.0%} to {high:.0%}")


if __name__ == "__main__":
    main()
