"""The program's source as syntax trees, read once in a process however many tests look at them."""

import ast
from functools import cache
from pathlib import Path


@cache
def tree_of(path: Path) -> ast.Module:
    """The syntax tree of a file; those who share it change nothing in it."""
    return ast.parse(path.read_text(encoding="utf-8"))


@cache
def nodes_of(tree: ast.Module) -> tuple[ast.AST, ...]:
    """Every node of a tree, walked once however many rules look at them."""
    return tuple(ast.walk(tree))
