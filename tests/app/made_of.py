"""What is a text of the app made of: the program's own words, or somebody else's?

A name is followed to what it was set to, a call to what the function returns; an argument of a
function is noted, for its callers to be looked at.
"""

import ast
import re
from functools import cache

from tests.app.test_uncut_callbacks import found, parsed

# The program's own texts, though that cannot be seen where they are shown, and why.
OWN_CALLS = ("counted",)  # a number and a word of the program
OWN_VALUES = {
    "navigation": ("group",),  # headings of the menu
    # Pages of the guide, Markdown with links in HTML; the address is escaped.
    "desk.guide_page": ("text[at:found.start()]", "text[at:]", "'\\n'.join(lines)"),
}
FIT = ("verbatim", "verbatim_lines", "verbatim_list")
GROWS = (".append", ".extend", ".insert")
FORMAT = re.compile(r"[+,]?\d*,?(\.\d+)?[defgn%]|[,d]|\.\d+")
SAME = "capitalize casefold lower upper strip lstrip rstrip removesuffix removeprefix replace title"
LISTS = (
    "min",
    "max",
    "sorted",
    "list",
    "tuple",
    "filter",
    "reversed",
    "dict",
    "set",
    "enumerate",
    "zip",
)
NUMBERS = (
    "len",
    "round",
    "int",
    "sum",
    "abs",
    "float",
    "bool",
    "ceil",
    "range",
    "columns",
    "token_hex",
)


@cache
def parents(module):
    """By node: the function it stands in, innermost."""
    told = {}

    def walk(node, within):
        for child in ast.iter_child_nodes(node):
            told[child] = within
            inner = isinstance(child, ast.FunctionDef | ast.Lambda)
            walk(child, child if inner else within)

    walk(parsed(module)[0], None)
    return told


def arguments(function):
    given = function.args
    return [each.arg for each in (*given.posonlyargs, *given.args, *given.kwonlyargs)]


@cache
def bound(module, function):
    """By name: what it is set to within a function or a module, as (how, expression)."""
    told = {}
    root = function or parsed(module)[0]

    def name(target, value, how):
        if isinstance(target, ast.Name):
            told.setdefault(target.id, []).append((how, value))
        elif isinstance(target, ast.Tuple | ast.List):
            made = ast.unparse(value.func) if isinstance(value, ast.Call) else ""
            if made in ("zip", "enumerate") and how == "in":
                parts = value.args if made == "zip" else (ast.Constant(0), value.args[0])
                for each, part in zip(target.elts, parts, strict=True):
                    name(each, part, how)
                return
            rows = isinstance(value, ast.Tuple | ast.List) and how == "in"
            if rows and all(isinstance(row, ast.Tuple) for row in value.elts):
                for each, column in zip(
                    target.elts, zip(*(row.elts for row in value.elts), strict=True), strict=True
                ):
                    name(each, ast.Tuple(list(column)), how)
                return
            pairs = isinstance(value, ast.Tuple | ast.List) and how == "is"
            for i, each in enumerate(target.elts):
                same = pairs and len(value.elts) == len(target.elts)
                name(each, value.elts[i] if same else value, how)
        elif isinstance(target, ast.Starred):
            name(target.value, value, how)

    for node in ast.walk(root):
        if isinstance(node, ast.Assign):
            for target in node.targets:
                name(target, node.value, "is")
        elif isinstance(node, ast.AugAssign | ast.AnnAssign | ast.NamedExpr) and node.value:
            name(node.target, node.value, "is")
        elif isinstance(node, ast.For | ast.comprehension):
            name(node.target, node.iter, "in")
        elif isinstance(node, ast.With):
            for item in node.items:
                if item.optional_vars is not None:
                    name(item.optional_vars, item.context_expr, "is")
        elif isinstance(node, ast.Call) and ast.unparse(node.func).endswith(GROWS) and node.args:
            name(node.func.value, node.args[-1], "is")
    return told


class Texts:
    """What of the app's texts is not the program's own; `wanted` are functions' arguments."""

    def __init__(self):
        self.wanted, self.open, self.known = {}, set(), {}

    def foreign(self, module, node, function):
        """The first part of an expression that is neither own nor made fit; None if all is."""
        key = (id(node), id(function))
        if key in self.open:
            return None
        if key not in self.known:
            self.open.add(key)
            self.known[key] = self._foreign(module, node, function)
            self.open.discard(key)
        return self.known[key]

    def _foreign(self, module, node, function):
        if ast.unparse(node) in OWN_VALUES.get(module.removeprefix("edgetest.app."), ()):
            return None
        handle = getattr(self, f"_{type(node).__name__.lower()}", None)
        return handle(module, node, function) if handle else node

    def _all(self, module, nodes, function):
        told = (self.foreign(module, each, function) for each in nodes if each is not None)
        return next((each for each in told if each is not None), None)

    def _constant(self, *_):
        return None

    _compare = _constant

    def _joinedstr(self, module, node, function):
        return self._all(module, node.values, function)

    def _formattedvalue(self, module, node, function):
        spec = node.format_spec and ast.unparse(node.format_spec)[2:-1]
        if spec and FORMAT.fullmatch(spec):
            return None
        return self.foreign(module, node.value, function)

    def _binop(self, module, node, function):
        if isinstance(node.op, ast.Mult | ast.Div | ast.Sub | ast.FloorDiv):
            return None if isinstance(node.op, ast.Div | ast.Sub) else self.foreign(
                module, node.left, function
            )  # fmt: skip
        return self._all(module, (node.left, node.right), function)

    def _unaryop(self, *_):
        return None

    def _boolop(self, module, node, function):
        return self._all(module, node.values, function)

    def _ifexp(self, module, node, function):
        return self._all(module, (node.body, node.orelse), function)

    def _starred(self, module, node, function):
        return self.foreign(module, node.value, function)

    def _list(self, module, node, function):
        return self._all(module, node.elts, function)

    _tuple = _set = _list

    def _dict(self, module, node, function):
        return self._all(module, (*node.keys, *node.values), function)

    def _dictcomp(self, module, node, function):
        return self._all(module, (node.key, node.value), function)

    def _listcomp(self, module, node, function):
        return self.foreign(module, node.elt, function)

    _generatorexp = _setcomp = _listcomp

    def _subscript(self, module, node, function):
        return self._looked_up(module, node.value, function)

    def _looked_up(self, module, node, function):
        """What stands in a table, whatever its keys are."""
        if isinstance(node, ast.Name) and function is not None:
            tables = [value for _, value in bound(module, function).get(node.id, ())]
            if tables and all(isinstance(each, ast.Dict | ast.DictComp) for each in tables):
                held = [getattr(each, "values", None) or [each.value] for each in tables]
                return self._all(module, [one for some in held for one in some], function)
        return self.foreign(module, node, function)

    def _attribute(self, module, node, function):
        return None if node.attr.isupper() else node

    def _name(self, module, node, function):
        if node.id.strip("_").isupper():
            return None
        within = function
        while within is not None:
            if node.id in arguments(within) or (within.args.vararg or ast.arg("")).arg == node.id:
                if not isinstance(within, ast.FunctionDef):
                    return node
                self.wanted.setdefault((module, within), set()).add(node.id)
                inner = bound(module, within).get(node.id, ())
                return self._all(module, [value for _, value in inner], within)
            values = bound(module, within).get(node.id)
            if values:
                return self._all(module, [value for _, value in values], within)
            within = parents(module).get(within)
        return node

    def _call(self, module, node, function):
        called, name = node.func, ast.unparse(node.func).split(".")[-1]
        if name in (*FIT, *OWN_CALLS, *NUMBERS):
            return None
        if isinstance(called, ast.Attribute):  # a method of texts or tables
            if name == "join":
                return self._all(module, (called.value, *node.args), function)
            if name == "format":
                words = [word.value for word in node.keywords]
                return self._all(module, (called.value, *node.args, *words), function)
            if name in (*SAME.split(), "split", "items", "values", "get", "pop", "splitlines"):
                return self.foreign(module, called.value, function)
        if name == "map":
            made = ast.unparse(node.args[0])
            if made in (*FIT, *OWN_CALLS):
                return None
            target = found(module, node.args[0])
            return self._returned(*target) if target else node
        if name in LISTS:
            words = [word.value for word in node.keywords if word.arg is None]
            return self._all(module, (*node.args, *words), function)
        target = found(module, called)
        return self._returned(*target) if target else node

    def _returned(self, module, function):
        """What a function of the app gives back."""
        if isinstance(function, ast.Lambda):
            return self.foreign(module, function.body, function)
        within = parents(module)
        values = [
            each.value
            for each in ast.walk(function)
            if isinstance(each, ast.Return | ast.Yield | ast.YieldFrom)
            and each.value is not None
            and within[each] is function
        ]
        return self._all(module, values, function) if values else function
