"""Messages over the socket that no page sends: put aside, said once, nothing changed, everybody else served."""

import json
import random
import re
import time
from contextlib import suppress
from typing import Any

import pytest
from websockets.exceptions import WebSocketException
from websockets.sync.client import connect

pytestmark = pytest.mark.xdist_group("browser")

_DEEP = '42["event",' + "[" * 20_000 + "]" * 20_000 + "]"
_FRAMES = (
    *("", "0", "1", "2", "3", "4", "5", "6", "40", "41", "42", "43", "44", "45", "46", "99", "4" + "2" * 5000),
    *("42[", "42{}", "42[]", "42[1]", '42["event"]', '42["event",null]', '42["event",[]]', '42["event",{}]'),
    *('42["nothing",{}]', '42["handshake"]', '42["handshake",{}]', '42["handshake",{"client_id":[]}]'),
    *('42["javascript_response",{}]', '42["ack",{}]', '42["log",{}]', '42["connect",{}]', '42["disconnect"]'),
    *('451-["event",{"_placeholder":true,"num":0}]', '45999999999-["event"]', '42/other,["event",{}]', _DEEP),
)
_KEYS = ("client_id", "id", "listener_id", "args", "next_message_id", "request_id", "tab_id", "document_id", "level")
_JUNK: tuple[Any, ...] = (None, True, -1, 1e308, "", "x" * 100_000, [], {}, [[]], {"a": [1]}, "\ud800", 2**70)


def _message(dice: random.Random, client: str, listeners: list[str]) -> str:
    kind = dice.choice(("event", "ack", "log", "javascript_response", "handshake"))
    said = {key: dice.choice(_JUNK) for key in dice.sample(_KEYS, dice.randrange(len(_KEYS)))}
    if dice.random() < 0.8:
        said["client_id"] = client
    if dice.random() < 0.5:
        said |= {"id": dice.randrange(200), "listener_id": dice.choice(listeners)}
    return f"42{json.dumps([kind, said])}"


def test_malformed_messages_are_put_aside_and_said_once(workbench: Any) -> None:
    """Five hundred of them: by no means all there could be, but every kind of packet and of message is among them."""
    files = {file: file.read_bytes() for file in workbench.folder.rglob("*.toml")}
    body = workbench.ask("GET /craft/lapwing-3")[2].decode()
    client = re.search(r"client_id['\": ]+([0-9a-f-]{36})", body)
    listeners = re.findall(r'listener_id[\\"&quot;:]+([0-9a-f-]{36})', body)
    assert client is not None and listeners
    own = f"{workbench.host}:{workbench.port}"
    joined = f"&client_id={client[1]}&next_message_id=0&implicit_handshake=true&tab_id=a&document_id=b"
    dice = random.Random(7)
    for k in range(50):
        query = joined if k % 4 else dice.choice(("", "&client_id=x", "&implicit_handshake=true", "&EIO=x"))
        address = f"ws://{own}/_nicegui_ws/socket.io/?EIO=4&transport=websocket{query}"
        with suppress(WebSocketException), connect(address, origin=f"http://{own}") as link:  # type: ignore[arg-type]
            link.send("40")
            for _ in range(10):
                roll = dice.random()
                if roll < 0.1:
                    link.send(dice.randbytes(dice.randrange(200)))
                else:
                    link.send(dice.choice(_FRAMES) if roll < 0.4 else _message(dice, client[1], listeners))
    time.sleep(1.0)
    assert workbench.ask("GET /craft/lapwing-3")[0] == 200
    assert workbench.printed.count("none of the page's") == 1
    assert "Traceback" not in workbench.printed
    assert files == {file: file.read_bytes() for file in files}
