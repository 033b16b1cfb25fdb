"""Blocks of a search on a cluster of dask workers, in place of processes of this machine."""

from collections.abc import Iterator
from concurrent.futures import Executor
from contextlib import contextmanager
from importlib import import_module
from typing import Any

from rotorwright.errors import CannotCompute

__all__ = ["on_cluster"]

_WAIT = "10s"


@contextmanager
def on_cluster(address: str) -> Iterator[Executor]:
    """An executor that sends its work to the scheduler at `address`; the workers need this package installed.

    Raises CannotCompute when dask.distributed is not installed or nobody answers.
    """
    try:
        distributed: Any = import_module("distributed")
    except ImportError:
        raise CannotCompute("a cluster takes dask.distributed: install rotorwright[cluster]") from None
    try:
        client = distributed.Client(address, timeout=_WAIT, set_as_default=False)
    except (OSError, ValueError, TimeoutError) as error:
        raise CannotCompute(f"no scheduler answers at {address}: {error}") from None
    try:
        yield client.get_executor(pure=False)
    finally:
        client.close()
