"""Processes that share long work, and leave with the one that started them."""

from __future__ import annotations

import os
import signal
import threading
from collections.abc import Iterator
from concurrent.futures import Executor, ProcessPoolExecutor
from contextlib import contextmanager
from multiprocessing import get_context, parent_process

from abreast.formulas.guard import require

__all__ = ["processes"]


@contextmanager
def processes(workers: int) -> Iterator[Executor | None]:
    """So many processes to share work among; None where one is asked for, this one.

    Raises
    ------
    InputError
        ``out-of-range``: fewer than one.
    """
    require(workers >= 1, "workers", f"{workers} must be at least 1")
    if workers == 1:
        yield None
        return
    with ProcessPoolExecutor(workers, mp_context=get_context("spawn"), initializer=_follow) as pool:
        try:
            yield pool
        finally:
            pool.shutdown(cancel_futures=True)


def _follow() -> None:
    """Ctrl-C is for the process that waits; where that one is gone, this one goes too."""
    signal.signal(signal.SIGINT, signal.SIG_IGN)
    threading.Thread(target=_leave_with_parent, daemon=True).start()


def _leave_with_parent() -> None:
    parent = parent_process()
    if parent is not None:
        parent.join()
        os._exit(1)
