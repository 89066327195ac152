"""Work on very many things at once."""

import gc
from collections.abc import Iterator
from contextlib import contextmanager


@contextmanager
def without_collecting() -> Iterator[None]:
    """Pause Python's search for rings of objects while they are made by the hundred thousand.

    There are none among rows and animals, and each search would look at all of them again: with a
    herd of 60,000 that was two fifths of the time.
    """
    was = gc.isenabled()
    gc.disable()
    try:
        yield
    finally:
        if was:
            gc.enable()
