"""Python without its own search for garbage, so that what is left in circles stays until it is sought."""

import gc
from collections.abc import Iterator
from contextlib import contextmanager


@contextmanager
def no_sweeping() -> Iterator[None]:
    """Begin without garbage, and look for none that nobody asks for."""
    gc.collect()
    gc.disable()
    try:
        yield
    finally:
        gc.enable()
