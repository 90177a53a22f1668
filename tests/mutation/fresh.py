"""Empties the caches of the mutated code before the tests of a mutant: they were filled with what the original gave.

``run`` puts this into the work copy as ``tests/conftest.py``.
"""

import os
import sys


def pytest_sessionstart():
    if os.environ.get("MUTANT_UNDER_TEST", "").startswith("changeout."):
        for name, module in list(sys.modules.items()):
            if name.startswith(("changeout.rules", "changeout.electrical")):
                for thing in vars(module).values():
                    if hasattr(thing, "cache_clear"):
                        thing.cache_clear()
