"""Start the workbench on this machine."""

import asyncio
import gc
import os
import socket
from collections.abc import Callable
from pathlib import Path
from secrets import token_urlsafe

from platformdirs import user_state_dir

from rotorwright.craft.files import write_whole
from rotorwright.errors import InputError, Problem

__all__ = ["free_port", "serve"]

_COLLECT_AFTER = 10.0  # [s]
_LOOPBACK = ("127.0.0.1", "localhost", "::1")


def free_port(host: str, wanted: int, tries: int = 20) -> int:
    """`wanted`, or the next port that nobody listens on; InputError when there is none."""
    for port in range(wanted, wanted + tries):
        family = socket.AF_INET6 if ":" in host else socket.AF_INET
        with socket.socket(family, socket.SOCK_STREAM) as probe:
            probe.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
            try:
                probe.bind((host, port))
            except OSError:
                continue
            return port
    what = f"the workbench cannot listen at {host}, ports {wanted} to {wanted + tries - 1}"
    raise InputError(Problem(what, "Name an address of this machine, or another port."))


def _secret(state: Path) -> str:
    """What signs the cookie that remembers a reader's units and light, kept from one start to the next."""
    file = state / "cookie-secret"
    try:
        state.mkdir(mode=0o700, parents=True, exist_ok=True)
        if not file.exists():
            write_whole(file, token_urlsafe(32))
            file.chmod(0o600)
        return file.read_text() or token_urlsafe(32)
    except (OSError, InputError):  # a home that cannot be written: forgotten at the end, no harm done
        return token_urlsafe(32)


def _collect_soon() -> Callable[[], None]:
    """What to do when a window is closed: it leaves rings of objects, which are looked for once a while, for all that
    have been closed by then; a search takes a good part of a second, in which nobody is answered."""
    waiting = False

    def collect() -> None:
        nonlocal waiting
        waiting = False
        gc.collect()

    def closed() -> None:
        nonlocal waiting
        if not waiting:
            waiting = True
            asyncio.get_running_loop().call_later(_COLLECT_AFTER, collect)

    return closed


def serve(workshop: Path, host: str, port: int, *, show: bool, say: Callable[[str], None]) -> None:
    """Serve the workbench of `workshop` until it is stopped; `say` prints a line.

    Only this machine can connect unless `host` says otherwise; then every browser needs a token, used once.
    """
    state = Path(user_state_dir("rotorwright"))
    os.environ.setdefault("NICEGUI_STORAGE_PATH", str(state))
    from nicegui import app, ui

    from rotorwright.web.desk import Desk
    from rotorwright.web.guard import COOKIE, Guard, Keys
    from rotorwright.web.malformed import tell_malformed_once
    from rotorwright.web.pages import register

    port = free_port(host, port)
    wider = host not in _LOOPBACK
    address = f"http://{f'[{host}]' if ':' in host else host}:{port}/"
    keys = Keys(lambda token: say(f"  {address}?token={token}"), f"{COOKIE}-{port}") if wider else None
    names = [f"[{name}]" if ":" in name else name for name in _LOOPBACK]
    hosts = [f"{name}:{port}" for name in names] + (names if port == 80 else [])
    behind = app.build_middleware_stack
    # around everything: the framework keeps something of every request that reaches it
    app.build_middleware_stack = lambda: Guard(behind(), hosts, keys)  # type: ignore[assignment,method-assign,return-value]
    register(Desk(workshop))
    tell_malformed_once()
    gc.freeze()
    app.on_delete(_collect_soon())
    say(f"The workbench is open at {address if not wider else 'the address above; each token opens one browser'}")
    say("Stop it with Ctrl+C.")
    ui.run(
        host=host,
        port=port,
        title="Rotorwright",
        favicon=Path(__file__).parent / "static" / "mark.svg",
        show=show and not wider,
        reload=False,
        tailwind=False,
        dark=None,
        language="en-GB",
        show_welcome_message=False,
        reconnect_timeout=15.0,  # a busy machine, or a lid closed for a moment, costs no page what was typed [s]
        storage_secret=_secret(state),
        session_middleware_kwargs={"session_cookie": "rotorwright", "same_site": "strict"},
        uvicorn_logging_level="error",
        http="h11",  # the strict reader: heads have a limit, and one host
        ws_max_size=2**20,  # a page sends a few words at a time [bytes]
        proxy_headers=False,
    )
