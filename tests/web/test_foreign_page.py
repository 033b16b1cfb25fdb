"""A page of another site, open in the same browser, can neither drive the workbench nor read from it."""

import hashlib
import threading
from collections.abc import Iterator
from http.server import BaseHTTPRequestHandler, ThreadingHTTPServer
from pathlib import Path
from typing import Any

import pytest

pytestmark = pytest.mark.xdist_group("browser")

_TRIES = """async ([base, upload]) => {
  const said = {};
  const tried = async (name, doing) => {
    try { said[name] = await doing(); } catch (error) { said[name] = "refused"; }
  };
  const fetched = (path, how) => fetch(base + path, how).then((answer) => `${answer.type} ${answer.status}`);
  await tried("read", () => fetched("/craft/lapwing-3"));
  await tried("read without cors", () => fetched("/craft/lapwing-3", { mode: "no-cors" }));
  await tried("read with cookies", () => fetched("/", { mode: "no-cors", credentials: "include" }));
  await tried("simple post", () => fetched(upload, { method: "POST", mode: "no-cors", body: new FormData() }));
  await tried("asked first", () => fetched(upload, { method: "PUT", headers: { "X-Own": "1" } }));
  await tried("json", () => fetched(upload, {
    method: "POST", headers: { "Content-Type": "application/json" }, body: "{}" }));
  const waited = (make) => new Promise((done) => {
    const one = make();
    one.onload = one.onopen = () => done("in");
    one.onerror = () => done("refused");
    setTimeout(() => done("nothing"), 8000);
  });
  const added = (tag, more) => () => document.body.appendChild(Object.assign(document.createElement(tag), more));
  await tried("socket", () => waited(() => new WebSocket(
    base.replace("http", "ws") + "/_nicegui_ws/socket.io/?EIO=4&transport=websocket")));
  await tried("polling", () => fetched("/_nicegui_ws/socket.io/?EIO=4&transport=polling", { mode: "no-cors" }));
  await tried("script", () => waited(added("script", { src: base + "/static/keys.js" })));
  await tried("page as script", () => waited(added("script", { src: base + "/craft/lapwing-3" })));
  await tried("picture", () => waited(added("img", { src: base + "/favicon.ico" })));
  await tried("style", () => waited(added("link", { rel: "stylesheet", href: base + "/static/rotorwright.css" })));
  return said;
}"""


class _Page(BaseHTTPRequestHandler):
    def do_GET(self) -> None:
        body = b"<!doctype html><title>elsewhere</title><body>elsewhere</body>"
        self.send_response(200)
        self.send_header("Content-Type", "text/html")
        self.end_headers()
        self.wfile.write(body)

    def log_message(self, format: str, *args: Any) -> None:
        """Nothing is printed."""


@pytest.fixture(scope="module")
def elsewhere() -> Iterator[str]:
    """Address of another site on this machine: another port is another origin."""
    with ThreadingHTTPServer(("127.0.0.1", 0), _Page) as server:
        thread = threading.Thread(target=server.serve_forever, daemon=True)
        thread.start()
        yield f"http://127.0.0.1:{server.server_port}/"
        server.shutdown()
        thread.join()


@pytest.fixture
def foreign(browser: Any, elsewhere: str) -> Iterator[Any]:
    """A window on the other site; what it complains of is its own affair."""
    context = browser.new_context()
    page = context.new_page()
    page.goto(elsewhere)
    yield page
    context.close()


def fingerprint(folder: Path) -> dict[str, str]:
    return {str(f): hashlib.sha256(f.read_bytes()).hexdigest() for f in sorted(folder.rglob("*")) if f.is_file()}


def test_requests_of_another_page_are_refused_and_change_nothing(
    foreign: Any, shared: Any, upload_address: Any
) -> None:
    before = fingerprint(shared.folder)
    said = foreign.evaluate(_TRIES, [shared.address, upload_address(shared)])
    for name, came in said.items():
        assert came in ("refused", "opaque 0"), f"{name}: {came}"
    assert fingerprint(shared.folder) == before


def test_a_form_of_another_page_is_refused(foreign: Any, shared: Any, upload_address: Any) -> None:
    before = fingerprint(shared.folder)
    upload = upload_address(shared)
    foreign.evaluate(
        """(target) => {
          const form = document.body.appendChild(document.createElement("form"));
          Object.assign(form, { method: "post", action: target, enctype: "multipart/form-data" });
          form.appendChild(Object.assign(document.createElement("input"), { name: "file", value: "t,x" }));
          form.submit();
        }""",
        shared.address + upload,
    )
    foreign.get_by_text("Another site's page may not use the workbench.").wait_for()
    assert fingerprint(shared.folder) == before


@pytest.mark.parametrize("tag", ["iframe", "embed", "object"])
def test_it_cannot_be_framed(foreign: Any, shared: Any, tag: str) -> None:
    foreign.evaluate(
        """([tag, address]) => {
          const frame = document.createElement(tag);
          frame[tag === "object" ? "data" : "src"] = address;
          document.body.appendChild(frame);
        }""",
        [tag, shared.address + "/craft/lapwing-3"],
    )
    foreign.wait_for_timeout(1500)
    for frame in foreign.frames[1:]:
        assert "Lapwing" not in frame.content()


def test_a_link_from_elsewhere_opens_a_window_that_the_other_page_has_no_hold_of(foreign: Any, shared: Any) -> None:
    with foreign.context.expect_page() as opened:
        foreign.evaluate("(address) => { window.other = window.open(address); }", shared.address + "/craft/lapwing-3")
    opened.value.get_by_role("heading", level=1).wait_for()
    assert foreign.evaluate(
        "window.other.closed || (() => { try { return !window.other.document } catch { return true } })()"
    )
    assert opened.value.evaluate("window.opener") is None
