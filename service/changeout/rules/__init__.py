"""The rules, one topic a file. A rule knows facts and parameters, never an edition: see ``_registry``.

``load_rules`` finds every module of this package, so that a new rule needs no list to stand in.
"""

from __future__ import annotations

import importlib
import pkgutil
from collections.abc import Mapping
from functools import cache

from changeout.rules._registry import Rule, registered


@cache
def load_rules() -> Mapping[str, Rule]:
    """Return every rule by its id, having imported all modules of this package."""
    for module in sorted(m.name for m in pkgutil.iter_modules(__path__) if not m.name.startswith("_")):
        importlib.import_module(f"{__name__}.{module}")
    return registered()
