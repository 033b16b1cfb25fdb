"""Blocks of a search worked on by this process, by processes of this machine, or by another executor."""

import contextlib
import itertools
import multiprocessing
import os
import pickle
import signal
import threading
import time
from collections.abc import Iterable, Iterator
from concurrent.futures import FIRST_COMPLETED, BrokenExecutor, Executor, Future, ProcessPoolExecutor, wait
from contextlib import contextmanager
from dataclasses import replace
from multiprocessing.connection import Connection
from typing import Protocol

import numpy as np
from numpy.typing import NDArray

from rotorwright.errors import CannotCompute
from rotorwright.search.block import Found, Task, run_block

__all__ = ["Crew", "Work", "crew"]

Array = NDArray[np.float64]
Work = tuple[int, range]

_LOOK = 0.2  # [s] between two looks at whether to stop
# Blocks handed out at a time: for each process here, and to another engine, whose size nobody knows.
_EACH, _ELSEWHERE = 4, 512
_SENDING = 0.3  # [s] in which a worker that is not computing has sent what it found


class Crew(Protocol):
    """Whoever runs blocks."""

    def run(self, work: Iterable[Work], archive: Array, stop: threading.Event) -> Iterator[tuple[int, Found]]:
        """Blocks and what they leave, as they finish; ends early once `stop` is set."""


@contextmanager
def crew(task: Task, workers: int, blocks: int, executor: Executor | None) -> Iterator[Crew]:
    """The crew for a task: another executor, processes, or this process alone.

    Raises CannotCompute when a process of the crew is ended from outside.
    """
    if executor is not None:
        yield _Crew(task, executor, _ELSEWHERE, remote=True)
    elif workers <= 1 or blocks < 2:
        yield _Alone(task)
    else:
        context = multiprocessing.get_context("spawn")
        ending, end = context.Pipe(duplex=False)
        pool = ProcessPoolExecutor(workers, context, _start, (pickle.dumps(task), ending))
        try:
            yield _Crew(task, pool, _EACH * workers, remote=False)
        except BaseException:
            end.close()  # nobody waits for the blocks that are being worked on
            raise
        finally:
            pool.shutdown(wait=True, cancel_futures=True)
            end.close()
            ending.close()


class _Alone:
    def __init__(self, task: Task) -> None:
        self.task = task

    def run(self, work: Iterable[Work], archive: Array, stop: threading.Event) -> Iterator[tuple[int, Found]]:
        task = replace(self.task, archive=archive)
        for k, cores in work:
            if stop.is_set():
                return
            yield k, run_block(task, cores)


class _Crew:
    """An executor, to which so many blocks are handed at a time; one that is elsewhere is sent the task with each."""

    def __init__(self, task: Task, executor: Executor, most: int, remote: bool) -> None:
        self.task, self.executor, self.most, self.remote = task, executor, most, remote

    def run(self, work: Iterable[Work], archive: Array, stop: threading.Event) -> Iterator[tuple[int, Found]]:
        left, waiting = iter(work), dict[Future[Found], int]()
        try:
            while True:
                with _unasked():
                    for k, cores in itertools.islice(left, self.most - len(waiting)):
                        waiting[self._submit(cores, archive)] = k
                if not waiting:
                    return
                done, _ = wait(waiting, timeout=_LOOK, return_when=FIRST_COMPLETED)
                for future in done:
                    yield waiting.pop(future), future.result()
                if stop.is_set():
                    for future in waiting:
                        future.cancel()
                    return
        except BrokenExecutor:
            what = "a worker process was ended from outside, perhaps for want of memory"
            raise CannotCompute(f"{what}: fewer --workers take less; what was finished is kept") from None

    def _submit(self, cores: range, archive: Array) -> "Future[Found]":
        if self.remote:
            return self.executor.submit(run_block, replace(self.task, archive=archive), cores)
        return self.executor.submit(_work, cores, archive)


@contextmanager
def _unasked() -> Iterator[None]:
    """Processes that are begun meanwhile leave Ctrl+C to this one, which ends them."""
    if not hasattr(signal, "pthread_sigmask"):
        yield
        return
    before = signal.pthread_sigmask(signal.SIG_BLOCK, {signal.SIGINT})
    try:
        yield
    finally:
        signal.pthread_sigmask(signal.SIG_SETMASK, before)


_TASK: Task | None = None
_COMPUTING = threading.Event()


def _start(task: bytes, ending: Connection) -> None:
    """Give a worker process its task, once."""
    global _TASK
    _TASK = pickle.loads(task)
    threading.Thread(target=_end_with, args=(ending,), daemon=True).start()


def _end_with(ending: Connection) -> None:
    """End this worker when its search closes the other end, or was killed: it would have nobody to work for."""
    with contextlib.suppress(OSError):
        ending.poll(None)
    if not _COMPUTING.is_set():
        time.sleep(_SENDING)
    os._exit(1)


def _work(cores: range, archive: Array) -> Found:
    assert _TASK is not None
    _COMPUTING.set()
    try:
        return run_block(replace(_TASK, archive=archive), cores)
    finally:
        _COMPUTING.clear()
