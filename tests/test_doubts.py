"""The catalogue of doubts and the code that has them: no code unknown, none idle."""

import ast
import re
from collections import Counter
from functools import cache
from pathlib import Path

import pytest

from edgetest.doubts import GRAVITIES, Where, catalogue, doubt, joined, sentences, told
from tests.read_code import tree_of

PACKAGE = Path(__file__).parent.parent / "edgetest"
MAKERS = {"doubt", "doubts_of"}
LISTS_OF_CODES = {"codes", "doubts", "reasons", "warnings"}
FILLED_IN = re.compile(r"\{\w+\}")


@cache
def trees():
    return {path: tree_of(path) for path in PACKAGE.rglob("*.py")}


def texts_in(node):
    for inner in ast.walk(node):
        if isinstance(inner, ast.Constant) and isinstance(inner.value, str):
            yield inner.value


def pattern_of(node):
    """What a formatted string may read: its fixed parts, anything between them."""
    parts = [re.escape(p.value) if isinstance(p, ast.Constant) else r"\w+" for p in node.values]
    return re.compile("".join(parts))


def test_every_code_of_the_catalogue_can_arise():
    written, patterns = set(), []
    for tree in trees().values():
        written.update(texts_in(tree))
        patterns += [
            pattern_of(node)
            for node in ast.walk(tree)
            if isinstance(node, ast.JoinedStr)
            and any(isinstance(p, ast.Constant) and "_" in p.value for p in node.values)
        ]
    idle = [
        code
        for code in catalogue()
        if code not in written and not any(p.fullmatch(code) for p in patterns)
    ]
    assert idle == []


def test_every_code_that_arises_stands_in_the_catalogue():
    """Codes handed to the makers of doubts, or put on a list of codes, as far as they are plain."""
    unknown = []
    for path, tree in trees().items():
        for node in ast.walk(tree):
            if isinstance(node, ast.Call) and node.args:
                function = node.func
                called = getattr(function, "id", getattr(function, "attr", ""))
                on = getattr(getattr(function, "value", None), "id", "")
                if called in MAKERS or (called == "append" and on in LISTS_OF_CODES):
                    # A comparison beside the code asks about something else.
                    first = node.args[0]
                    choices = (
                        [first.body, first.orelse] if isinstance(first, ast.IfExp) else [first]
                    )
                    unknown += [
                        f"{path.name}, line {node.lineno}: {one.value}"
                        for one in choices
                        if isinstance(one, ast.Constant) and one.value not in catalogue()
                    ]
    assert unknown == []


@pytest.mark.parametrize("kind", catalogue().values(), ids=lambda kind: kind.code)
def test_a_kind_of_doubt_is_readable(kind):
    assert kind.gravity in GRAVITIES
    assert (PACKAGE / "guide" / f"{kind.guide}.md").exists()
    # What is filled in may be the sentence itself, and brings its own full stop.
    own_words = FILLED_IN.sub("", kind.says).strip(" :")
    assert not own_words or own_words.endswith((".", "?")) or kind.says.endswith("}")
    assert re.fullmatch(r"[a-z][a-z0-9_]*", kind.code)


def test_no_sentence_stands_twice():
    says = Counter(kind.says for kind in catalogue().values() if FILLED_IN.sub("", kind.says))
    assert [sentence for sentence, times in says.items() if times > 1] == []


def test_a_doubt_says_what_how_grave_and_where():
    found = doubt("extrapolated", "Cut on.", where=Where(blade="A1", stage=400))
    assert found.text.startswith("This lies beyond the last stage")
    assert found.text.endswith("see it. Cut on.")
    assert found.to_dict()["where"] == {"blade": "A1", "stage": 400}
    assert found.to_warning() == {"code": "extrapolated", "text": found.text}


def test_words_are_filled_in_and_an_unknown_code_is_our_mistake():
    assert "2 readings left out" in doubt("excluded_rows", readings="2 readings").text
    with pytest.raises(KeyError, match="no_such_code"):
        doubt("no_such_code")


def test_joining_keeps_each_once_and_puts_the_gravest_first():
    limits, decides = doubt("extrapolated"), doubt("one_blade_per_treatment")
    both = joined([limits], [decides, limits])
    assert [one.code for one in both] == ["one_blade_per_treatment", "extrapolated"]
    assert [entry["code"] for entry in told(both)["warnings"]] == [one.code for one in both]
    assert [entry["gravity"] for entry in told(both)["doubts"]] == ["decides", "limits"]


def test_rows_with_their_blades_are_parted_from_each_other():
    of = [doubt("one_station", where=Where(file="log.csv", row=row, blade=blade)) for row, blade in
          ((4, "B1"), (5, "A1"))]  # fmt: skip
    assert sentences(of)[0].startswith("log.csv, row 4, B1; log.csv, row 5, A1: ")
    of = [doubt("one_station", where=Where(blade=blade)) for blade in ("B1", "A1")]
    assert sentences(of)[0].startswith("B1, A1: ")


def test_a_sentence_that_begins_with_its_blade_names_it_once():
    words = {"blade": "H1", "rows": "row 4"}
    own = [code for code, kind in catalogue().items() if kind.says.startswith("{blade}: ")]
    for code in own:
        names = set(re.findall(r"\{(\w+)", catalogue()[code].says))
        said = doubt(code, where=Where(blade="H1"), **{n: words.get(n, "x") for n in names})
        (line,) = sentences([said])
        assert line.startswith("H1: ")
        assert not line.startswith("H1: H1: ")
    assert len(own) >= 2


def test_a_row_that_a_sentence_names_first_is_not_named_twice():
    where = Where("chops.csv", 9, "H1")
    said = doubt("depth_asked", what="chops.csv, row 9, depth_mm: 141 mm is too deep", where=where)
    (line,) = sentences([said])
    assert line.startswith("chops.csv, row 9, H1: depth_mm: 141 mm is too deep. ")
    other = doubt("depth_asked", what="chops.csv, row 8: so", where=where)
    assert sentences([other])[0].startswith("chops.csv, row 9, H1: chops.csv, row 8: so. ")
