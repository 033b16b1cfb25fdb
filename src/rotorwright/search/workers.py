"""Blocks of a search worked on by this process, by processes of this machine, or by another executor."""

import multiprocessing
import os
import pickle
import threading
from collections.abc import Iterator, Sequence
from concurrent.futures import FIRST_COMPLETED, Executor, Future, ProcessPoolExecutor, wait
from contextlib import contextmanager
from dataclasses import replace
from typing import Protocol

import numpy as np
from numpy.typing import NDArray

from rotorwright.search.block import Found, Task, run_block

__all__ = ["Crew", "Work", "crew"]

Array = NDArray[np.float64]
Index = NDArray[np.int64]
Work = tuple[int, Index]

_LOOK = 0.2  # [s] between two looks at whether to stop


class Crew(Protocol):
    """Whoever runs blocks."""

    def run(self, work: Sequence[Work], archive: Array, stop: threading.Event) -> Iterator[tuple[int, Found]]:
        """Blocks and what they leave, as they finish; ends early once `stop` is set."""


@contextmanager
def crew(task: Task, workers: int, blocks: int, executor: Executor | None) -> Iterator[Crew]:
    """The crew for a task: another executor, processes, or this process alone."""
    if executor is not None:
        yield _Crew(task, executor, remote=True)
    elif workers <= 1 or blocks < 2:
        yield _Alone(task)
    else:
        context = multiprocessing.get_context("spawn")
        pool = ProcessPoolExecutor(workers, context, _start, (pickle.dumps(task),))
        try:
            yield _Crew(task, pool, remote=False)
        finally:
            pool.shutdown(wait=True, cancel_futures=True)


class _Alone:
    def __init__(self, task: Task) -> None:
        self.task = task

    def run(self, work: Sequence[Work], archive: Array, stop: threading.Event) -> Iterator[tuple[int, Found]]:
        task = replace(self.task, archive=archive)
        for k, cores in work:
            if stop.is_set():
                return
            yield k, run_block(task, cores)


class _Crew:
    """An executor; one that is elsewhere is sent the task with every block."""

    def __init__(self, task: Task, executor: Executor, remote: bool) -> None:
        self.task, self.executor, self.remote = task, executor, remote

    def run(self, work: Sequence[Work], archive: Array, stop: threading.Event) -> Iterator[tuple[int, Found]]:
        waiting = {self._submit(cores, archive): k for k, cores in work}
        while waiting:
            done, _ = wait(waiting, timeout=_LOOK, return_when=FIRST_COMPLETED)
            for future in done:
                yield waiting.pop(future), future.result()
            if stop.is_set():
                for future in waiting:
                    future.cancel()
                return

    def _submit(self, cores: Index, archive: Array) -> "Future[Found]":
        if self.remote:
            return self.executor.submit(run_block, replace(self.task, archive=archive), cores)
        return self.executor.submit(_work, cores, archive)


_TASK: Task | None = None


def _start(task: bytes) -> None:
    """Give a worker process its task, once."""
    global _TASK
    _TASK = pickle.loads(task)
    threading.Thread(target=_end_with_parent, daemon=True).start()


def _end_with_parent() -> None:
    """A worker whose search was killed has nobody to work for; left alone it would wait for ever."""
    parent = multiprocessing.parent_process()
    if parent is not None:
        parent.join()
        os._exit(1)


def _work(cores: Index, archive: Array) -> Found:
    assert _TASK is not None
    return run_block(replace(_TASK, archive=archive), cores)
