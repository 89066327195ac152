"""Programs that start at the same moment."""

import multiprocessing
import warnings
from collections.abc import Callable, Iterable

__all__ = ["run_together"]


def run_together(work: Callable[..., object], calls: Iterable[tuple[object, ...]]) -> list[int]:
    """Run the work once for each tuple of arguments, each in a forked process; their exit codes."""
    context = multiprocessing.get_context("fork")
    workers = [context.Process(target=work, args=call) for call in calls]
    with warnings.catch_warnings():
        # Threads beside a fork: none is used in it.
        warnings.simplefilter("ignore", DeprecationWarning)
        for worker in workers:
            worker.start()
    for worker in workers:
        worker.join()
    return [worker.exitcode for worker in workers]
