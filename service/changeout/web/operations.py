"""The table of operations: everything that the service answers over HTTP.

The routes and the OpenAPI document are both made from it, so neither can have what the other lacks.
"""

from __future__ import annotations

from typing import Final

from changeout.web.judging import JUDGING
from changeout.web.lookups import LOOKUPS

TAGS: Final = {
    "judging": "A proposal in, a report or a calculation out.",
    "rulesets": "What is asked under which edition and in which jurisdiction.",
    "documents": "Schemas, examples and pages.",
    "operations": "For whoever runs the service.",
}

OPERATIONS: Final = (*JUDGING, *LOOKUPS)
