"""Messages over the page's socket that are none of the page's: put aside by the framework, told in one line, once."""

import logging
import traceback

__all__ = ["tell_malformed_once"]

_LOGGERS = ("asyncio", "engineio.server", "socketio.server", "uvicorn.error")
_READERS = ("engineio", "socketio")


class _Once(logging.Filter):
    """Lets the first such report pass as one line, and no other."""

    def __init__(self) -> None:
        super().__init__()
        self.told = False

    def filter(self, record: logging.LogRecord) -> bool:
        error = record.exc_info[1] if record.exc_info else None
        frames = traceback.extract_tb(error.__traceback__) if error else []
        if not any(f"/{name}/" in frame.filename.replace("\\", "/") for frame in frames for name in _READERS):
            return True
        if self.told:
            return False
        self.told = True
        record.msg = "A message came that is none of the page's, and was put aside; further ones are not told."
        record.args, record.exc_info, record.exc_text = (), None, None
        return True


def tell_malformed_once() -> None:
    """Where the framework would print how it failed to read each such message, say once that there was one.

    What fails in answering a message that can be read is reported elsewhere, as ever.
    """
    once = _Once()
    for name in _LOGGERS:
        logging.getLogger(name).addFilter(once)
