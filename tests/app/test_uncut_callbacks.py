"""Is every callback that touches the page kept from being cut short by the next press?"""

import ast
from functools import cache
from pathlib import Path

import pytest

import edgetest

APP = Path(edgetest.__file__).parent / "app"
MODULES = {
    "edgetest.app." + ".".join(path.relative_to(APP).with_suffix("").parts): path
    for path in APP.rglob("*.py")
}

QUIET = ("cache_resource", "cache_data", "fragment")  # marks of a function, said once at import
AWAY = ("st.rerun", "st.switch_page", "st.stop")


@cache
def parsed(module):
    """A module's tree, what it defines by name, and where its imported names come from."""
    tree = ast.parse(MODULES[module].read_text())
    defined = {
        node.name: node
        for node in ast.walk(tree)
        if isinstance(node, ast.FunctionDef | ast.AsyncFunctionDef)
    }
    imported = {
        name.asname or name.name: (node.module, name.name)
        for node in ast.walk(tree)
        if isinstance(node, ast.ImportFrom)
        for name in node.names
    }
    return tree, defined, imported


def found(module, node):
    """The function that an expression names, as (module, function); None outside the pages."""
    _, defined, imported = parsed(module)
    if isinstance(node, ast.Name):
        if node.id in defined:
            return module, defined[node.id]
        source, name = imported.get(node.id, (None, None))
        if source in MODULES and name in parsed(source)[1]:
            return source, parsed(source)[1][name]
    elif isinstance(node, ast.Attribute) and isinstance(node.value, ast.Name):
        source, name = imported.get(node.value.id, (None, None))
        inner = f"{source}.{name}"
        if inner in MODULES and node.attr in parsed(inner)[1]:
            return inner, parsed(inner)[1][node.attr]
        if node.value.id == "self" and node.attr in defined:
            return module, defined[node.attr]
    return None


def is_uncut(node):
    """Whether a function is decorated, or a lambda wrapped, by `uncut`."""
    wrapped = isinstance(node, ast.Call) and ast.unparse(node.func) == "uncut"
    marks = getattr(node, "decorator_list", ())
    return wrapped or any(ast.unparse(each) == "uncut" for each in marks)


def of_the_page(node):
    """What a function itself says to Streamlit, as expressions with their line."""
    read = {
        id(call.func.value)
        for call in ast.walk(node)
        if isinstance(call, ast.Call) and ast.unparse(call.func) == "st.session_state.to_dict"
    }
    for each in ast.walk(node):
        of_st = isinstance(each, ast.Attribute) and ast.unparse(each.value) == "st"
        if of_st and id(each) not in read and each.attr not in QUIET:
            yield each


def touches(module, node, *, through=False, seen=()):
    """Where a function touches the page, itself or by what it calls that is not uncut."""
    told = [f"{ast.unparse(each)} in {module}:{each.lineno}" for each in of_the_page(node)]
    for call in (each for each in ast.walk(node) if isinstance(each, ast.Call)):
        called = found(module, call.func)
        if called and called[1] not in seen and (through or not is_uncut(called[1])):
            told += touches(*called, through=through, seen=(*seen, node, called[1]))
    return told


def handed_over(module):
    """Every callback that a module hands to a button, a field or a component."""
    for call in ast.walk(parsed(module)[0]):
        if isinstance(call, ast.Call):
            for word in call.keywords:
                if word.arg == "then" or (word.arg or "").startswith("on_"):
                    yield call, word.value
            if ast.unparse(call.func) == "kept" and call.args:
                yield call, call.args[0]


def cut_short(module):
    """The callbacks of a module that the next press could cut short."""
    told = []
    for call, given in handed_over(module):
        node = given
        if isinstance(node, ast.Call) and ast.unparse(node.func) == "partial":
            node = node.args[0]
        if not isinstance(node, ast.Lambda | ast.Call):
            place, node = found(module, node) or (module, None)
        else:
            place = module
        if node is not None and not is_uncut(node):
            told += [f"line {call.lineno}, {ast.unparse(given)}: {w}" for w in touches(place, node)]
    return told


@pytest.mark.parametrize("module", sorted(MODULES))
def test_no_press_is_lost_to_the_next_one(module):
    assert cut_short(module) == []


def test_the_rule_finds_what_breaks_it():
    """The callbacks of the app are seen at all, and one that is not kept would be told."""
    given = [each for module in MODULES for each in handed_over(module)]
    assert len(given) > 80
    function = parsed("edgetest.app.answers.evidence_forms")[1]["kept"]
    assert is_uncut(function)
    function.decorator_list.clear()
    assert cut_short("edgetest.app.answers.evidence_forms")


def test_what_is_uncut_never_sends_the_page_elsewhere():
    """`st.rerun` and its kind leave a callback by the way that `uncut` keeps shut."""
    for module in MODULES:
        for function in parsed(module)[1].values():
            if is_uncut(function):
                told = touches(module, function, through=True)
                assert not [w for w in told if w.startswith(AWAY)], function.name
