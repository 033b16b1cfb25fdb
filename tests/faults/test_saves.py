"""Whatever goes wrong while a file is written, it holds the old version or the new one, and no change is lost."""

import contextlib
import os
import signal
import subprocess
import sys
import tempfile
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

import pytest

from rotorwright.cli.main import main
from rotorwright.craft.edit import change_craft, undo_change
from rotorwright.craft.history import versions
from rotorwright.craft.journal import Journal
from rotorwright.craft.read import read_craft
from rotorwright.craft.workshop import new_workshop
from rotorwright.errors import InputError

ROOT = Path(__file__).parents[2]
STEPS = ("open", "replace", "fsync", "chmod", "truncate", "unlink", "mkdir", "fdopen")
"""What of the operating system a save asks for, beside writing into what is open."""


@pytest.fixture
def file(tmp_path: Path) -> Path:
    new_workshop(tmp_path / "w")
    return tmp_path / "w" / "crafts" / "lapwing-3.toml"


@contextlib.contextmanager
def at_step(number: int, happens: Callable[[], Any]) -> Iterator[list[str]]:
    """Let `happens` come in the place of the call with this number; yields the names of the calls made."""
    made: list[str] = []

    def watched(name: str, real: Callable[..., Any]) -> Callable[..., Any]:
        def call(*args: Any, **kwargs: Any) -> Any:
            made.append(name)
            if len(made) - 1 == number:
                happens()
            return real(*args, **kwargs)

        return call

    with pytest.MonkeyPatch.context() as patch:
        for name in STEPS:
            patch.setattr(os, name, watched(name, getattr(os, name)))
        yield made


def change(file: Path, number: int) -> None:
    change_craft(file, [f"site.altitude_m={number}"])


def altitude(file: Path) -> int:
    stated = read_craft(file).site.altitude
    assert stated is not None
    return round(stated.value)


def steps_of_a_save(file: Path) -> list[str]:
    with at_step(-1, lambda: None) as made:
        change(file, 1)
    return made


def killed(doing: Callable[[], None]) -> bool:
    """Whether a process of its own that does this is killed in doing it."""
    child = os.fork()
    if child == 0:
        try:
            doing()
        finally:
            os._exit(0)
    return os.WIFSIGNALED(os.waitpid(child, 0)[1])


def stays_usable(file: Path) -> None:
    """The next save works, and the way back to the first version is open."""
    now = file.read_text()
    change(file, 77)
    undo_change(file)
    assert file.read_text() == now
    for one in versions(file):
        read_craft(file, text=one.text)


@pytest.mark.parametrize("first", [True, False], ids=["the first change", "a later change"])
def test_killed_at_every_step_the_file_is_old_or_new(file: Path, first: bool) -> None:
    if not first:
        change(file, 1)
        undo_change(file)
    old = altitude(file)
    text = file.read_text()
    number = 0
    seen = set()

    def save() -> None:
        with at_step(number, lambda: os.kill(os.getpid(), signal.SIGKILL)):
            change(file, 2)

    while killed(save):
        seen.add(found := altitude(file))
        assert found in (old, 2)
        stays_usable(file)
        if found == 2:
            undo_change(file)
        assert file.read_text() == text
        number += 1
    assert number >= 7
    assert seen == {old, 2}  # both sides of the moment were met
    assert altitude(file) == 2


@pytest.mark.parametrize("code", [28, 30, 13, 5], ids=["disk full", "read-only", "permission denied", "disk broken"])
def test_refused_at_any_step_the_file_is_old_and_the_reason_said(file: Path, code: int) -> None:
    text = file.read_text()

    def refuse() -> None:
        raise OSError(code, os.strerror(code))

    for number in range(len(steps_of_a_save(file))):
        undo_change(file)
        assert file.read_text() == text
        said = ""
        with at_step(number, refuse) as made:
            try:
                change(file, 1)
            except InputError as error:
                said = str(error)
        # what only tidies up or flushes names may be refused without harm; else it is said, and nothing was changed
        assert (file.read_text() == text) == bool(said), made
        assert not said or os.strerror(code) in said or "another program" in said
        assert not list(file.parent.glob(".*.unfinished")) or made[number] == "unlink"
        if said:
            change(file, 1)
    stays_usable(file)


LIMITED = """
import resource, signal, sys
from pathlib import Path
from rotorwright.craft.edit import change_craft
from rotorwright.errors import InputError
file, said = Path(sys.argv[1]), set()
change_craft(file, ["site.altitude_m=1"])
signal.signal(signal.SIGXFSZ, signal.SIG_IGN)
size = file.stat().st_size
whole = (file.parent / ".journal" / (file.name + ".jsonl")).stat().st_size
for limit in [*range(0, size + 300, 700), *range(whole - 40, whole + 2 * size, 1100)]:
    resource.setrlimit(resource.RLIMIT_FSIZE, (limit, resource.RLIM_INFINITY))
    before = file.read_bytes()
    try:
        change_craft(file, ["site.altitude_m=2"])
        said.add("written")
        break
    except InputError as error:
        said.add("refused")
        assert "File too large" in str(error), error
        assert file.read_bytes() == before
print(sorted(said))
"""


def test_room_for_some_bytes_only_leaves_the_old_version(file: Path) -> None:
    """The operating system takes part of the bytes and then refuses, as a full disk does."""
    ran = subprocess.run([sys.executable, "-c", LIMITED, str(file)], capture_output=True, text=True, check=True)
    assert ran.stdout.strip() == "['refused', 'written']"
    assert altitude(file) == 2
    stays_usable(file)
    assert not list(file.parent.glob(".*.unfinished"))


@pytest.fixture
def small_disk(tmp_path: Path) -> Iterator[Path]:
    """A file system of 400 KB of its own."""
    disk = tmp_path / "disk"
    disk.mkdir()
    if os.getuid() != 0 or subprocess.run(["mount", "-t", "tmpfs", "-o", "size=400k", "small", disk]).returncode:
        pytest.skip("no file system can be mounted here")
    yield disk
    subprocess.run(["umount", disk], check=True)


def test_a_full_disk_leaves_the_old_version(small_disk: Path) -> None:
    new_workshop(small_disk / "w")
    file = small_disk / "w" / "crafts" / "lapwing-3.toml"
    change(file, 1)
    text = file.read_text()
    with contextlib.suppress(OSError), (small_disk / "rest").open("wb", buffering=0) as rest:
        while rest.write(bytes(4096)):
            pass
    with pytest.raises(InputError, match="No space left on device"):
        change(file, 2)
    assert file.read_text() == text
    (small_disk / "rest").unlink()
    stays_usable(file)
    assert not list(file.parent.glob(".*.unfinished"))


def as_nobody(arguments: list[str]) -> tuple[int, str]:
    """End code and words of a command run by a user without rights."""
    main(["change", "no-such-craft"])  # loads all that a message needs
    hear, say = os.pipe()
    child = os.fork()
    if child == 0:
        code = 99
        try:
            if os.getuid() == 0:
                os.setgid(65534)
                os.setuid(65534)
            os.dup2(say, 2)
            sys.stderr = os.fdopen(2, "w", closefd=False)
            code = main(arguments)
            sys.stderr.flush()
        finally:
            os._exit(code)
    os.close(say)
    with os.fdopen(hear) as stream:
        words = stream.read()
    return os.waitstatus_to_exitcode(os.waitpid(child, 0)[1]), words


@pytest.fixture
def common() -> Iterator[Path]:
    """A folder with a workshop that every user can reach."""
    with tempfile.TemporaryDirectory() as folder:
        Path(folder).chmod(0o755)
        new_workshop(Path(folder) / "w")
        yield Path(folder)
        subprocess.run(["chmod", "-R", "u+w", folder], check=True)


@pytest.mark.parametrize("what", ["folder", "journal"])
def test_a_folder_where_nobody_may_write_says_so(what: str, common: Path) -> None:
    file = common / "w" / "crafts" / "lapwing-3.toml"
    change(file, 1)
    text = file.read_text()
    folder = file.parent if what == "folder" else file.parent / ".journal"
    for one in (folder.parent, *folder.parent.rglob("*")):
        one.chmod(0o777 if one.is_dir() else 0o666)
    folder.chmod(0o555)
    for one in folder.iterdir():
        if one.is_file():
            one.chmod(0o444)
    code, words = as_nobody(["change", str(file), "site.altitude_m=2"])
    assert code == 2, words
    assert "cannot be written: Permission denied" in " ".join(words.split())
    assert "Traceback" not in words
    assert file.read_text() == text


SAVER = """
import sys
from pathlib import Path
from rotorwright.craft.edit import change_craft
file, part = Path(sys.argv[1]), sys.argv[2]
for n in range(12):
    change_craft(file, [f"{part}.why=reason {n} of {part}"])
"""


def test_programs_that_change_one_craft_at_once_lose_nothing(file: Path) -> None:
    """Each change is on record, each was made of the one before, and the last of every program stands."""
    text = file.read_text()
    parts = ("battery", "camera", "receiver")
    started = [subprocess.Popen([sys.executable, "-c", SAVER, str(file), part]) for part in parts]
    assert [process.wait() for process in started] == [0, 0, 0]
    reasons = {placed.id: placed.why for placed in read_craft(file).parts}
    assert [reasons[part] for part in parts] == [f"reason 11 of {part}" for part in parts]
    changes = Journal(file).changes()
    assert [change.number for change in changes] == list(range(1, 37))
    assert {change.what for change in changes} == {f"{p}.why=reason {n} of {p}" for p in parts for n in range(12)}
    for _ in changes:
        undo_change(file)
    assert file.read_text() == text


def test_killed_while_saving_over_and_over() -> None:
    """Craft, measured values and remembered columns; docs/reliability.md tells of a longer run."""
    command = [sys.executable, str(ROOT / "tools" / "kill_saves.py"), "--count", "100"]
    ran = subprocess.run(command, capture_output=True, text=True)
    assert ran.returncode == 0, ran.stderr
    assert "every file whole, nothing that was told of lost" in ran.stdout
