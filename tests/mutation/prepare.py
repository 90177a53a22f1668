"""Readies a work copy for mutmut: says in its pyproject.toml what is mutated and tested, and undecorates functions.

The tool leaves decorated functions alone, so decorators are put after the functions:
``@rule(…) def f(…)`` becomes ``def f(…)`` followed by ``f = rule(…)(f)``, and the like for properties. The code does
the same; the tool now mutates the body. Classes keep their decorators. Used on a copy only, never on the project.
"""

import os
import re
import sys
from pathlib import Path

import libcst as cst


class Undecorate(cst.CSTTransformer):
    """Puts the decorators of functions into assignments after them."""

    def leave_FunctionDef(  # noqa: N802 - the library's name
        self, original_node: cst.FunctionDef, updated_node: cst.FunctionDef
    ) -> cst.FunctionDef | cst.FlattenSentinel:
        names = {d.decorator.value for d in original_node.decorators if isinstance(d.decorator, cst.Name)}
        if not original_node.decorators or names & {"classmethod", "staticmethod"}:
            return updated_node
        name = updated_node.name.value
        call = f"{name}"
        for decorator in reversed(updated_node.decorators):
            call = f"{cst.Module([]).code_for_node(decorator.decorator)}({call})"
        after = cst.parse_statement(f"{name} = {call}")
        return cst.FlattenSentinel([updated_node.with_changes(decorators=[]), after])


def set_up(only: str, tests: str) -> None:
    """Writes which files are mutated and which tests are run, both as TOML lists."""
    path = Path("pyproject.toml")
    text = re.sub(r"(?m)^only_mutate = .*$", lambda _: f"only_mutate = {only}", path.read_text("utf-8"))
    text = re.sub(
        r"(?m)^pytest_add_cli_args_test_selection = .*$",
        lambda _: f"pytest_add_cli_args_test_selection = {tests}",
        text,
    )
    path.write_text(text, "utf-8")


def main() -> None:
    set_up(os.environ["ONLY"], os.environ["TESTS"])
    for folder in sys.argv[1:]:
        for path in Path(folder).rglob("*.py"):
            text = path.read_text("utf-8")
            changed = cst.parse_module(text).visit(Undecorate()).code
            if changed != text:
                path.write_text(changed, "utf-8")


if __name__ == "__main__":
    main()
