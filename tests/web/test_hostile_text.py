"""A workshop that a stranger has sent: whatever stands in its names, reasons and notes is text on every page."""

import re
from base64 import b64decode
from pathlib import Path
from typing import Any

import pytest
import tomlkit

pytestmark = pytest.mark.xdist_group("browser")

# Ends tags, attributes, styles and scripts; a framework's templates and its attributes that are evaluated; what moves
# a parser of properties on: quotes of three kinds, a backslash at the end.
EVIL = (
    "<script>pwned()</script><img src=x onerror=pwned()><svg onload=pwned()>\"'`></textarea></title></style>"
    "<iframe srcdoc='<script>parent.pwned()</script>'></iframe>{{pwned()}}${pwned()}{ledger.nothing} "
    "onmouseover=pwned() :onclick=pwned() [x](javascript:pwned()) &lt;b&gt; </b><style>*{display:none}</style>\\"
)
ROOMS = ("", "/frame", "/power", "/view", "/compare", "/search", "/measure", "/sheet")
FILE = "a'b\"&<img src=x onerror=pwned()>?#%41{{pwned()}}"


def spoiled(folder: Path) -> None:
    """Put it into every free text of one craft, of the parts on it, of a log and of their files' names."""
    crafts = folder / "crafts"
    craft = tomlkit.parse((crafts / "lapwing-3.toml").read_text())
    craft.update(name=f"Lapwing {EVIL}", version=f"3{EVIL}", note=EVIL, currency=EVIL)
    craft["flight"]["profile"] = EVIL  # type: ignore[index]
    craft["flight"]["segment"] = [{"duration_s": 9, "speed_m_per_s": 8}]  # type: ignore[index]
    craft["ground"].update(view=EVIL, transmitter=EVIL)  # type: ignore[union-attr]
    rail = f"own-regulator{EVIL}.5V{EVIL}"
    for part in craft["part"]:  # type: ignore[union-attr]
        part["why"] = EVIL
        if part["role"] in ("buzzer", "strap", "capacitor", "battery-grip", "receiver"):
            part["id"] = part["role"] + EVIL
        if part["role"] == "buzzer":
            part["fed_from"] = rail
        if part["use"].startswith("own-"):
            part["use"] += EVIL
        part["note"] = part["source"] = EVIL
    more = {
        "use": f"own-regulator{EVIL}",
        "role": "regulator",
        "id": f"own-regulator{EVIL}",
        "fed_from": "battery.lead",
    }
    craft["part"].append({**more, "at_mm": [0, 0, 3], "why": EVIL})  # type: ignore[union-attr]
    wires = craft.setdefault("wire", tomlkit.aot())
    wires.append({"from": rail, "to": f"buzzer{EVIL}.supply", "gauge_awg": 26, "length_mm": 90, "note": EVIL})
    craft["waive"] = [{"code": code, "reason": EVIL} for code in ("lead-too-thin",)]
    (crafts / f"{FILE}.toml").write_text(tomlkit.dumps(craft))
    own = tomlkit.parse((folder / "shelf" / "own.toml").read_text())
    for kind, parts in list(own.items()):
        for part in parts if kind != "format" else ():
            part.update(name=f"{part['name']}{EVIL}", note=EVIL, source=EVIL)
    regulator = {"name": f"own-regulator{EVIL}", "mass_g": 3, "size_mm": [12, 10, 3], "note": EVIL, "source": EVIL}
    own["regulator"] = [{**regulator, "outputs": [{"name": f"5V{EVIL}", "voltage_v": 5, "current_a": 2}]}]
    (folder / "shelf" / "own-evil.toml").write_text(tomlkit.dumps(own))
    log = (folder / "logs" / "stand-invented.csv").read_text()
    heading = EVIL.replace('"', '""')
    rows = log.splitlines()
    first = next(n for n, row in enumerate(rows) if not row.startswith("#"))
    rows[first] += f',"{heading}","c:\\users\\x"'
    rows[first + 1 :] = [f"{row},1,2" for row in rows[first + 1 :]]
    (folder / "logs" / f"{FILE}.csv".replace("/", "-")).write_text("\n".join([f"# {EVIL}", *rows]) + "\n")


@pytest.fixture
def spoiled_window(window: Any, workshop: Path) -> Any:
    """A window that tells when anything of it runs; a dialog fails the test as well."""
    spoiled(workshop)
    window.add_init_script("window.ran = []; window.pwned = () => { window.ran.push(new Error().stack); return 1; }")
    window.on("dialog", lambda dialog: pytest.fail(f"a dialog opened: {dialog.message}"))
    return window


def settle(window: Any) -> None:
    """Wait until the socket is there and nothing has been drawn for a while."""
    window.wait_for_function("window.did_handshake")
    window.evaluate(
        """() => new Promise((done) => {
          let last = performance.now();
          new MutationObserver(() => { last = performance.now(); })
            .observe(document.body, { childList: true, subtree: true, attributes: true });
          const look = () => performance.now() - last > 700 ? done() : setTimeout(look, 100);
          look();
        })"""
    )


def judge(window: Any, where: str) -> None:
    """Nothing ran, nothing became an element or an attribute that was text."""
    for frame in window.frames:
        if frame != window.main_frame:
            assert "Lapwing" in frame.content() or not frame.content(), where
    assert window.evaluate("window.ran") == [], where
    found = window.evaluate(
        """() => [...document.querySelectorAll("*")].filter((one) =>
          [...one.attributes].some((a) => /^on|^:|^@/.test(a.name) && /pwned/.test(a.value))
          || (/^(IMG|IFRAME)$/.test(one.tagName) && /^x$|pwned/.test(one.getAttribute("src") || ""))
          || (/^(SCRIPT|STYLE)$/.test(one.tagName) && /pwned\\(\\)|\\*\\{display/.test(one.textContent) && !one.src
              && !/parseElements/.test(one.textContent))
          || (one.tagName === "A" && /^\\s*javascript:/i.test(one.getAttribute("href") || ""))
        ).map((one) => one.outerHTML.slice(0, 200))"""
    )
    assert found == [], where


def test_every_page_shows_it_as_text(spoiled_window: Any) -> None:
    from urllib.parse import quote

    window = spoiled_window
    for address in ("/", "/new", *(f"/craft/{quote(FILE, safe='')}{room}" for room in ROOMS)):
        answer = window.goto(address)
        assert answer.status == 200, address
        settle(window)
        if address.endswith("/sheet"):
            window.locator("iframe.rw-sheet").wait_for(timeout=90_000)
            settle(window)
        judge(window, address)
    assert EVIL[:40] in window.locator("h1").inner_text()


def test_what_is_opened_and_pressed_shows_it_as_text(spoiled_window: Any) -> None:
    from urllib.parse import quote

    window = spoiled_window
    window.goto(f"/craft/{quote(FILE, safe='')}")
    settle(window)
    for fold in window.locator(".rw-finding > summary").all()[:4]:
        fold.click()
    window.get_by_role("button", name="by kind").click()
    window.get_by_role("button", name="Mass", exact=True).click()
    window.get_by_label("Pick a part").select_option(index=5)
    settle(window)
    judge(window, "table")
    for word in ("Pack", "buzzer", "own"):
        window.locator("#ch-find").fill(word)
        settle(window)
        judge(window, f"found {word}")
    window.get_by_role("link", name="Measure").click()
    settle(window)
    window.get_by_label("A file in logs/").click()
    window.get_by_role("option", name=re.compile("onerror")).click()
    window.get_by_text("c:\\users\\x").first.wait_for(timeout=30_000)
    settle(window)
    judge(window, "columns")


def test_the_sheet_holds_it_as_text(workshop: Path) -> None:
    import html5lib

    from rotorwright.craft import read_craft
    from rotorwright.sheet.content import sheet_of
    from rotorwright.sheet.forms import form_of
    from rotorwright.sheet.verdict import verdict_of

    spoiled(workshop)
    craft = read_craft(workshop / "crafts" / f"{FILE}.toml")
    made = form_of(sheet_of(craft, verdict_of(craft)), ".html").decode()
    pictures = [
        b64decode(data).decode() for data in re.findall(r"data:image/svg\+xml;base64,([A-Za-z0-9+/=]+)", made)
    ]
    for text in (made, *pictures):
        for one in html5lib.parse(text, namespaceHTMLElements=False).iter():
            tag = str(one.tag).lower()
            assert tag not in ("script", "iframe"), tag
            assert not (tag == "img" and one.get("src") == "x")
            assert not [name for name in one.attrib if str(name).lower().startswith("on")], tag
            assert "javascript:" not in (one.get("href") or "").lower()
            assert not (tag == "style" and "*{display:none}" in (one.text or ""))
