"""A report leaves nothing behind that refers to itself: its memory is free when it is sent, not when garbage is sought."""

import gc

import pytest

from changeout.application.service import Service
from changeout.render.report_json import report_bytes
from no_sweeping import no_sweeping

SERVICE = Service.load()


@pytest.mark.parametrize("name", SERVICE.examples())
def test_a_report_leaves_no_circle(name):
    body = SERVICE.example(name)
    report_bytes(SERVICE.validate(body))
    with no_sweeping():
        report_bytes(SERVICE.validate(body))
        assert gc.collect() == 0


def test_the_search_finds_circles():
    with no_sweeping():
        circle = []
        circle.append(circle)
        del circle
        assert gc.collect() == 1
