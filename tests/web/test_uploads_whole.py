"""Files that are brought: too large, too many, wrong, cut off; whole or not at all, and never one over another."""

import re
import socket
import time
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest

pytestmark = pytest.mark.xdist_group("browser")

_ROWS = b"time_s,thrust_n\n0,1\n1,2\n"


def form(*files: tuple[str, bytes]) -> bytes:
    parts = [
        f'--cut\r\nContent-Disposition: form-data; name="f{k}"; filename="{name}"\r\n'.encode()
        + b"Content-Type: text/csv\r\n\r\n"
        + content
        + b"\r\n"
        for k, (name, content) in enumerate(files)
    ]
    return b"".join(parts) + b"--cut--\r\n"


def bring(
    bench: Any, address: str, body: bytes, kind: str = "multipart/form-data; boundary=cut"
) -> tuple[int, bytes]:
    status, _, said = bench.ask(f"POST {address}", f"Content-Type: {kind}", body=body, origin=True)
    return status, said


def settled(bench: Any) -> list[Path]:
    """What lies in `logs/` once nothing is being written any more."""
    end, before = time.monotonic() + 20, -1
    while time.monotonic() < end:
        files = list((bench.folder / "logs").iterdir())
        if len(files) == before and not [f for f in files if f.suffix == ".part"]:
            return files
        before = len(files)
        time.sleep(0.2)
    raise AssertionError("files still change")


@pytest.fixture
def logs(shared: Any) -> Iterator[Path]:
    """The shared workshop's logs, as they were before."""
    folder = shared.folder / "logs"
    before = set(folder.iterdir())
    yield folder
    for file in set(folder.iterdir()) - before:
        file.unlink()


def test_many_of_one_name_are_all_kept(shared: Any, upload_address: Any, logs: Path) -> None:
    before = len(list(logs.iterdir()))
    files = [("same.csv", _ROWS + f"9,{k}\n".encode()) for k in range(200)]
    assert bring(shared, upload_address(shared), form(*files))[0] == 200
    kept = settled(shared)
    assert len(kept) == before + 200
    assert len({file.read_bytes() for file in kept if file.name.startswith("same")}) == 200


@pytest.mark.parametrize(
    "name",
    [
        "../../../up.csv",
        "..%2f..%2fup.csv",
        "/etc/cron.d/up",
        "C:\\\\up.csv",
        "..\\\\..\\\\up.csv",
        "a\x00b.csv",
        ".bashrc",
        "CON",
        "aux.csv",
        "x" * 5000 + ".csv",
        "<img src=x onerror=alert(1)>.csv",
        "%00",
        "\u202egpj.csv",
        "crafts/x.toml",
    ],
)
def test_no_name_leads_elsewhere(shared: Any, upload_address: Any, logs: Path, name: str) -> None:
    outside = {file: file.stat().st_mtime_ns for file in shared.folder.parent.rglob("*") if logs not in file.parents}
    outside = {file: when for file, when in outside.items() if file.suffix == ".toml"}
    before = set(logs.iterdir())
    status, _ = bring(shared, upload_address(shared), form((name, _ROWS)))
    assert status in (200, 400)
    for file in set(settled(shared)) - before:
        assert re.fullmatch(r"[A-Za-z0-9_-][A-Za-z0-9._-]{0,90}\.(csv|txt|log|dat|tsv)", file.name)
        assert file.read_bytes() == _ROWS
    assert outside == {file: file.stat().st_mtime_ns for file in outside}
    assert not (shared.folder.parent / "up.csv").exists()


def test_a_link_in_the_way_is_not_followed(shared: Any, upload_address: Any, logs: Path) -> None:
    outside = shared.folder.parent / "never.csv"
    (logs / "link.csv").symlink_to(outside)
    assert bring(shared, upload_address(shared), form(("link.csv", _ROWS)))[0] == 200
    settled(shared)
    assert not outside.exists()
    assert (logs / "link-2.csv").read_bytes() == _ROWS


@pytest.mark.parametrize(
    "kind",
    [
        "multipart/form-data",
        "multipart/form-data; boundary=",
        "multipart/form-data; boundary=" + "x" * 300,
        "text/csv",
        "multipart/form-data; boundary=other",
        "application/x-www-form-urlencoded",
        "application/json",
        "\u00e9",
    ],
)
def test_what_is_no_form_is_refused_in_words(shared: Any, upload_address: Any, logs: Path, kind: str) -> None:
    before = set(logs.iterdir())
    status, said = bring(shared, upload_address(shared), form(("a.csv", _ROWS)), kind)
    assert status < 500
    assert b"Traceback" not in said
    assert set(settled(shared)) == before


def test_a_field_where_a_file_should_be_is_refused(shared: Any, upload_address: Any, logs: Path) -> None:
    body = b'--cut\r\nContent-Disposition: form-data; name="a"\r\n\r\nno file\r\n--cut--\r\n'
    status, _ = bring(shared, upload_address(shared), body)
    assert status < 500


def test_more_parts_than_a_form_may_have(shared: Any, upload_address: Any, logs: Path) -> None:
    before = set(logs.iterdir())
    assert bring(shared, upload_address(shared), form(*[("a.csv", b"")] * 1001))[0] == 400
    assert set(settled(shared)) == before


def test_too_large_is_refused_before_it_is_sent(shared: Any, upload_address: Any) -> None:
    from rotorwright.web.guard import UPLOAD_LIMIT

    for length in (UPLOAD_LIMIT + 2**20, 10**15, 10**30):
        head = ("Content-Type: multipart/form-data; boundary=cut", f"Content-Length: {length}")
        status, _, said = shared.ask(f"POST {upload_address(shared)}", *head, origin=True)
        assert (status, said) == (413, b"Nothing larger than 512 MB is taken.\n") or (
            status == 400 and length > 10**20
        )


def test_an_upload_that_is_cut_off_leaves_nothing(shared: Any, upload_address: Any, logs: Path) -> None:
    before = set(logs.iterdir())
    body = form(("cut.csv", b"x" * 6_000_000))
    address = upload_address(shared)
    for sent in (0, 200, 4_000_000, len(body) - 3):
        own = f"{shared.host}:{shared.port}"
        head = f"POST {address} HTTP/1.1\r\nHost: {own}\r\nOrigin: http://{own}\r\n"
        head += f"Content-Type: multipart/form-data; boundary=cut\r\nContent-Length: {len(body)}\r\n\r\n"
        with socket.create_connection((shared.host, shared.port), timeout=20) as link:
            link.sendall(head.encode() + body[:sent])
            time.sleep(0.3)
    assert set(settled(shared)) == before
    assert not list(shared.temporary.iterdir())
    assert "Traceback" not in shared.printed


def test_a_large_one_is_kept_whole_and_its_traces_are_gone(shared: Any, upload_address: Any, logs: Path) -> None:
    # long rows: the numbers themselves, twenty bytes a row, are a small part of what is held
    address, content = upload_address(shared), _ROWS + b"2.000000000000000000,3.00000000000000000\n" * 1_000_000
    assert shared.process is not None
    status = Path(f"/proc/{shared.process.pid}/status")

    def most() -> int:
        found = re.search(r"VmHWM:\s+(\d+)", status.read_text())
        assert found is not None
        return 1024 * int(found[1])

    before, seen = most(), 0
    while before > seen:  # what the server loads after its start is not the upload's
        time.sleep(2.0)
        before, seen = most(), before
    assert bring(shared, address, form(("large.csv", content)))[0] == 200
    settled(shared)
    assert (logs / "large.csv").stat().st_size == len(content)
    # brought in small pieces; then looked at: bytes, text, the parser's own copy, and half of it again as numbers
    assert most() - before < 4 * len(content)
    end = time.monotonic() + 10
    while list(shared.temporary.iterdir()) and time.monotonic() < end:
        time.sleep(0.2)
    assert not list(shared.temporary.iterdir())


def test_a_full_disk_is_said_in_words(tmp_path: Path) -> None:
    import asyncio
    from collections.abc import AsyncIterator
    from concurrent.futures import ThreadPoolExecutor

    from rotorwright.errors import InputError
    from rotorwright.web.uploads import keep

    def alone(work: Any) -> Any:
        """Beside the browser's own loop."""
        with ThreadPoolExecutor(1) as pool:
            return pool.submit(asyncio.run, work).result()

    async def content(error: BaseException | None) -> AsyncIterator[bytes]:
        yield b"some"
        if error is not None:
            raise error
        yield b"more"

    with pytest.raises(InputError, match="cannot be kept: No space left"):
        alone(keep(tmp_path, "a.csv", content(OSError(28, "No space left on device")), 100))
    with pytest.raises(InputError, match="larger than 0 MB"):
        alone(keep(tmp_path, "a.csv", content(None), 7))
    with pytest.raises(asyncio.CancelledError):
        alone(keep(tmp_path, "a.csv", content(asyncio.CancelledError()), 100))
    assert list(tmp_path.iterdir()) == []
    place = alone(keep(tmp_path, "a.csv", content(None), 8))
    assert place.read_bytes() == b"somemore"
