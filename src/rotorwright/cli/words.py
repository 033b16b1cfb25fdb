"""Results as machine-readable text."""

import json
from typing import Any

from rotorwright.predict.result import plain

__all__ = ["print_json"]


def print_json(result: Any) -> None:
    """A result as JSON on the standard output."""
    print(json.dumps(plain(result), indent=2, ensure_ascii=False, allow_nan=False))
