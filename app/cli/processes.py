"""The cases of one call in as many processes as there are processors, with progress."""

from __future__ import annotations

import multiprocessing
import os
import signal
import sys
from collections.abc import Callable, Iterator, Sequence
from concurrent.futures import FIRST_COMPLETED, Future, ProcessPoolExecutor, wait
from concurrent.futures.process import BrokenProcessPool
from contextlib import contextmanager

from app.cli.answers import Answer, Work
from app.cli.cases import Case
from app.cli.outputs import OutputError


def side_by_side(work: Work, cases: Sequence[Case]) -> Iterator[Answer]:
    """Yield the answer to each case in order: as many at a time as there are processors.

    Raises
    ------
    OutputError
        When a process ends before its answer.
    """
    count = min(processors(), len(cases))
    if count < 2:
        yield from map(work, cases)
        return
    kind = "forkserver" if sys.platform == "linux" else "spawn"
    context = multiprocessing.get_context(kind)
    if kind == "forkserver":
        # The process that is copied for each of them loads the libraries once.
        context.set_forkserver_preload([work.module, "pvlib"])
    with one_thread_each(), ProcessPoolExecutor(count, context, _begin) as pool:
        try:
            yield from _in_order([pool.submit(work, case) for case in cases])
        except BrokenProcessPool:
            raise OutputError("a process of this call was ended from outside") from None
        except BaseException:
            pool.shutdown(wait=False, cancel_futures=True)
            raise


def processors() -> int:
    """Return how many processors this program may use."""
    # Not every system tells which of them are lent to one program.
    lent: Callable[[int], set[int]] | None = getattr(os, "sched_getaffinity", None)
    return len(lent(0)) if lent else os.cpu_count() or 1


@contextmanager
def one_thread_each() -> Iterator[None]:
    """Let processes that start now compute in one thread each: there are as many as processors."""
    name = "OPENBLAS_NUM_THREADS"
    before = os.environ.get(name)
    os.environ.setdefault(name, "1")
    try:
        yield
    finally:
        if before is None:
            del os.environ[name]


def _begin() -> None:
    # Whoever stops the program stops its first process, which ends the others.
    signal.signal(signal.SIGINT, signal.SIG_IGN)


def _in_order(futures: Sequence[Future[Answer]]) -> Iterator[Answer]:
    pending = set(futures)
    with progress(len(futures)) as told:
        for future in futures:
            while not future.done():
                _, pending = wait(pending, return_when=FIRST_COMPLETED)
                told(sum(each.done() for each in futures))
            told(0)
            yield future.result()


@contextmanager
def progress(count: int) -> Iterator[Callable[[int], None]]:
    """Tell a terminal how many cases are done; the line goes before anything else is said."""
    is_seen = sys.stderr is not None and sys.stderr.isatty()

    def told(done: int) -> None:
        if is_seen:
            words = f"{done} of {count}" if done else ""
            sys.stderr.write(f"\r\x1b[K{words}")
            sys.stderr.flush()

    try:
        yield told
    finally:
        told(0)
