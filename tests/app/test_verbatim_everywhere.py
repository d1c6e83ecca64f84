"""Does every text that a page renders as Markdown come from the program, or through `verbatim`?

Each call that hands a text to Streamlit is looked at with what its words are made of: texts of
the program, numbers with their format, and what `verbatim` made fit; and so is each call that
hands them to a function which hands them on.
"""

import ast
import re
from functools import cache

from tests.app.made_of import FIT, OWN_CALLS, Texts, arguments, parents
from tests.app.test_uncut_callbacks import MODULES, found, parsed

ONE_TEXT = re.compile(
    "markdown|title|header|subheader|caption|info|warning|error|success|toast|button|badge|tabs|"
    "download_button|form_submit_button|expander|popover|status|spinner|text_input|text_area|"
    "number_input|checkbox|toggle|selectbox|multiselect|radio|pills|segmented_control|slider|"
    "select_slider|file_uploader|camera_input|date_input"
)
TEXTS = {"metric": (0, 1, 2), "progress": (1,), "link": (1,), "page_link": (1,)}
# The kept fields hand their label on to the widget that they are given before it.
HANDED_ON = {"field": 1, "kept_choice": 2}
WORDS = ("label", "body", "help", "caption", "text", "delta", "captions", "placeholder_label")
CHOICES = ("radio", "pills", "segmented_control", "tabs")  # their options are Markdown too


@cache
def calls(module):
    return [node for node in ast.walk(parsed(module)[0]) if isinstance(node, ast.Call)]


@cache
def functions():
    """By name: every function of the app as (module, node)."""
    met = {}
    for module in MODULES:
        for node in ast.walk(parsed(module)[0]):
            if isinstance(node, ast.FunctionDef):
                met.setdefault(node.name, []).append((module, node))
    return met


def handed(node, places, words):
    """The expressions that a call hands over at places and under words."""
    for place in places:
        if len(node.args) > place:
            yield node.args[place]
    for word in node.keywords:
        if word.arg in words:
            yield word.value


def _choices(node):
    """What the choices of a call read: what formats them, or they themselves."""
    shown = [word.value for word in node.keywords if word.arg == "format_func"]
    kept = ast.unparse(node.func).endswith(tuple(HANDED_ON))
    of = [*([] if kept else node.args[1:2]), *handed(node, (), ("options",))]
    own = of and all(ast.unparse(each).strip("_").isupper() for each in of)
    for text in () if own else shown or of:
        yield node, text


def said(module):
    """Every text that a module hands to Streamlit: (call, expression)."""
    for node in calls(module):
        name = ast.unparse(node.func).split(".")[-1]
        places, widget = TEXTS.get(name, (0,) if ONE_TEXT.fullmatch(name) else None), name
        if not isinstance(node.func, ast.Attribute) or found(module, node.func):
            places = None
        if name in HANDED_ON and len(node.args) > HANDED_ON[name]:
            places = (HANDED_ON[name],)
            widget = ast.unparse(node.args[HANDED_ON[name] - 1]).split(".")[-1]
        if places is None:
            continue
        for text in handed(node, places, WORDS):
            yield node, text
        if widget in CHOICES:
            yield from _choices(node)


def texts_of(module, texts):
    """What a module says that is neither own nor through `verbatim`, a line for each."""
    within = parents(module)
    for call, text in said(module):
        node = text
        if isinstance(node, ast.Attribute) and node.attr in ("__getitem__", "get"):
            met = texts._looked_up(module, node.value, within[call])
            if met is not None:
                yield f"{module}:{text.lineno}: {ast.unparse(met)[:60]} in {ast.unparse(text)[:80]}"
            continue
        target = found(module, node) if isinstance(node, ast.Name | ast.Attribute) else None
        if isinstance(node, ast.Lambda):
            met = texts.foreign(module, node.body, node)
        elif target or ast.unparse(node) in (*FIT, *OWN_CALLS):
            met = texts._returned(*target) if target else None
        else:
            met = texts.foreign(module, node, within[call])
        if met is not None:
            yield f"{module}:{text.lineno}: {ast.unparse(met)[:60]} in {ast.unparse(text)[:80]}"


def callers(texts):
    """Arguments of functions that reach a page: what every call of them hands over."""
    done = set()
    while open_ := {(f, a) for f, names in texts.wanted.items() for a in names} - done:
        done |= open_
        for (module, function), name in open_:
            yield from _calls_with(texts, module, function, name)


def _calls_with(texts, home, function, name):
    places = [each for each in arguments(function) if each != "self"]
    for module in MODULES:
        within = parents(module)
        for call in calls(module):
            of = found(module, call.func)
            method = ast.unparse(call.func).endswith(f".{function.name}") and not of
            one = method and len(functions()[function.name]) == 1
            if not (one or (of and of[1] is function)):
                continue
            place = places.index(name) if name in places else len(places)
            for text in handed(call, (place,), (name,)):
                met = texts.foreign(module, text, within[call])
                if met is not None:
                    yield (
                        f"{module}:{text.lineno}: {ast.unparse(met)[:60]} as {name} of "
                        f"{function.name}"
                    )


def told():
    texts = Texts()
    lines = [line for module in MODULES for line in texts_of(module, texts)]
    return sorted({*lines, *callers(texts)})


def test_every_text_of_somebody_else_is_shown_as_it_was_typed():
    assert told() == []


def test_a_text_that_is_shown_as_markdown_is_found():
    """The calls are seen at all, and a text that loses its `verbatim` is told, wherever it is."""
    assert sum(1 for each in MODULES for _ in said(each)) > 600
    homes = {"desk.studies_page": "_label", "open_study": "heading", "doubts_shown": "_listed"}
    calls = [
        each
        for module, function in homes.items()
        for each in ast.walk(parsed(f"edgetest.app.{module}")[1][function])
        if isinstance(each, ast.Call) and ast.unparse(each.func) == "verbatim"
    ]
    for call in calls:
        call.func.id = "str"
    try:
        found_in = " ".join(told())
    finally:
        for call in calls:
            call.func.id = "verbatim"
    for module in homes:
        assert module in found_in


def test_no_page_but_the_guide_hands_over_html_of_its_own():
    given = [
        (module.removeprefix("edgetest.app."), ast.unparse(word.value))
        for module in MODULES
        for call in calls(module)
        for word in call.keywords
        if word.arg in ("unsafe_allow_html", "unsafe_allow_javascript")
    ]
    # The menu runs its own few lines.
    assert {module for module, _ in given} <= {"desk.guide_page", "menu"}
