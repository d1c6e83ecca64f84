"""Where may a mutant stand, and which are drawn?

The operators are those of cosmic-ray. Of its replacements those are left out that no test could
miss (bits of a float shifted, `is` for `<`) or that change nothing a program is asked for.
"""

import ast
import random
import re
from bisect import bisect_right
from dataclasses import dataclass
from difflib import SequenceMatcher
from pathlib import Path

ROOT = Path(__file__).parents[2]
ROOMS = ("wear", "stats", "photo", "chop", "steel", "study")

ARITHMETIC = ("Add", "Sub", "Mul", "Div", "FloorDiv", "Mod", "Pow")
ORDER = ("Eq", "NotEq", "Lt", "LtE", "Gt", "GtE")
PAIRS = {
    "BinaryOperator": (ARITHMETIC, ("BitOr", "BitAnd")),
    "ComparisonOperator": (ORDER, ("Is", "IsNot")),
}
SINGLE = {
    "core/AddNot",
    "core/NumberReplacer",
    "core/ReplaceAndWithOr",
    "core/ReplaceOrWithAnd",
    "core/ReplaceBreakWithContinue",
    "core/ReplaceContinueWithBreak",
    "core/ReplaceFalseWithTrue",
    "core/ReplaceTrueWithFalse",
    "core/ReplaceUnaryOperator_Delete_Invert",
    "core/ReplaceUnaryOperator_Delete_Not",
    "core/ReplaceUnaryOperator_Delete_USub",
    "core/ZeroIterationForLoop",
}
FUNCTION = (ast.FunctionDef, ast.AsyncFunctionDef)


@dataclass(frozen=True)
class Mutant:
    """One change of one module."""

    module: str
    line: int
    operator: str
    occurrence: int

    def text(self):
        """The module's text with the change."""
        from cosmic_ray.mutating import mutate_code
        from cosmic_ray.plugins import get_operator

        source = (ROOT / self.module).read_text(encoding="utf-8")
        return mutate_code(source, get_operator(self.operator)(), self.occurrence)

    def compiles(self):
        """Whether the change leaves a module that Python takes; any test kills another."""
        try:
            compile(self.text(), self.module, "exec")
        except SyntaxError:
            return False
        return True


def kept_operators():
    """Names of the operators that mutants are drawn from."""
    from cosmic_ray.plugins import operator_names

    kept = []
    for name in sorted(operator_names()):
        pair = re.fullmatch(r"core/Replace(\w+?)_(\w+?)_(\w+)", name)
        sets = PAIRS.get(pair[1], ()) if pair else ()
        if name in SINGLE or any(pair[2] in words and pair[3] in words for words in sets):
            kept.append(name)
    return kept


def spared(tree, source):
    """Ranges (start, end) of a module that no mutant may touch.

    Type hints, decorators, `__all__`, what is raised (the words of an error are held elsewhere),
    `strict=True` of a zip, which speaks only where the program is wrong already, and `repr=` of a
    field, which no answer holds.
    """
    lines = source.splitlines()

    def place(line, column):  # columns of ast count bytes, those of parso characters
        return line, len(lines[line - 1].encode()[:column].decode())

    for node in ast.walk(tree):
        found = []
        if isinstance(node, ast.arg | ast.AnnAssign):
            found.append(node.annotation)
        elif isinstance(node, FUNCTION):
            found += [node.returns, *node.decorator_list]
        elif isinstance(node, ast.ClassDef):
            found += node.decorator_list
        elif isinstance(node, ast.keyword) and node.arg in ("strict", "repr"):
            found.append(node.value)
        elif isinstance(node, ast.Raise) or names_public(node):
            found.append(node)
        for part in found:
            if part is not None:
                yield (
                    place(part.lineno, part.col_offset),
                    place(part.end_lineno, part.end_col_offset),
                )


def names_public(node):
    """Whether this is `__all__ = …`."""
    return isinstance(node, ast.Assign) and ast.unparse(node.targets[0]) == "__all__"


def mutants_by_place(module):
    """All mutants of a module, {(start, kind): [Mutant, …]}, in the order of the text."""
    from cosmic_ray.ast import ast_nodes, get_ast
    from cosmic_ray.plugins import get_operator

    source = (ROOT / module).read_text(encoding="utf-8")
    closed = list(spared(ast.parse(source), source))
    nodes = list(ast_nodes(get_ast(source)))
    found = {}
    for name in kept_operators():
        operator = get_operator(name)()
        kind = re.sub(r"(Delete_\w+|(_[A-Za-z]+){2})$", "", name)
        occurrence = 0
        for node in nodes:
            for start, _ in operator.mutation_positions(node):
                if not any(first <= start < last for first, last in closed):
                    mutant = Mutant(module, start[0], name, occurrence)
                    found.setdefault((start, kind), []).append(mutant)
                occurrence += 1
    return dict(sorted(found.items()))


def modules_of(room):
    """Modules of a room, or the one module that a path names.

    `photo/render` makes pictures for tests and demo: it is judged by what measures them.
    """
    if room.endswith(".py"):
        return [room]
    return sorted(
        path.relative_to(ROOT).as_posix()
        for path in (ROOT / "edgetest" / room).rglob("*.py")
        if path.name != "__init__.py" and "render" not in path.parts
    )


def drawn(room, count, seed):
    """`count` mutants of a room, each at another place; every place is as likely as any other.

    Fewer where some are no Python any more (`*,` of a function's arguments made `+,`).
    """
    chance = random.Random(f"{room} {seed}")
    places = [
        choices for module in modules_of(room) for choices in mutants_by_place(module).values()
    ]
    taken = chance.sample(places, min(count, len(places)))
    mutants = [chance.choice(choices) for choices in taken]
    return sorted(
        filter(Mutant.compiles, mutants),
        key=lambda mutant: (mutant.module, mutant.line, mutant.operator, mutant.occurrence),
    )


def at_line(module, line):
    """Every mutant of one line."""
    found = mutants_by_place(module)
    return [one for (start, _), ones in found.items() if start[0] == line for one in ones]


def statement_of(module, line):
    """(lines of the statement that holds a line, whether it runs only when the module is imported).

    Of a compound statement the head alone.
    """
    tree = ast.parse((ROOT / module).read_text(encoding="utf-8"))
    held, imported = None, True
    for node in ast.walk(tree):  # outer nodes first
        if not isinstance(node, ast.stmt) or not node.lineno <= line <= node.end_lineno:
            continue
        body = getattr(node, "body", None)
        last = body[0].lineno - 1 if body else node.end_lineno
        last = max(last, node.lineno)
        if isinstance(node, FUNCTION) and line > last:
            imported = False
        if line <= last or held is None:
            held = range(node.lineno, last + 1)
        elif body:
            held = range(line, line + 1)
    return held or range(line, line + 1), imported


def moved_line(old, new, line):
    """Where a line of the old text stands in the new one; None where it was changed."""
    blocks = SequenceMatcher(None, old, new, autojunk=False).get_matching_blocks()
    at = bisect_right([block.a for block in blocks], line - 1) - 1
    if at < 0 or line - 1 >= blocks[at].a + blocks[at].size:
        return None
    return line - blocks[at].a + blocks[at].b
