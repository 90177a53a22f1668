"""A worker frees now and then what requests leave behind in circles."""

import weakref
from types import SimpleNamespace

from changeout.cli import worker
from no_sweeping import no_sweeping


class _Left:
    """Something that refers to itself, as a request's router does."""

    def __init__(self):
        self.itself = self


def test_what_is_left_in_circles_is_freed_after_so_many_answers():
    one = SimpleNamespace(since_swept=0)
    with no_sweeping():
        left = weakref.ref(_Left())
        for _ in range(worker._SWEPT_EACH - 1):
            worker.post_request(one, None, None, None)
        assert left() is not None
        worker.post_request(one, None, None, None)
        assert left() is None
    assert one.since_swept == 0


def test_a_worker_begins_with_nothing_to_sweep():
    assert worker.Worker.since_swept == 0
