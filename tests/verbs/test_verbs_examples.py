"""The examples in the verbs' docstrings, run as they stand."""

import doctest
import inspect

import pytest

import edgetest

pytestmark = pytest.mark.usefixtures("measured_copies")

VERBS = [name for name in edgetest.__all__ if inspect.isfunction(edgetest.__getattr__(name))]


@pytest.mark.usefixtures("untypeset")
@pytest.mark.parametrize("name", VERBS)
def test_the_example_prints_what_it_says(name):
    verb = edgetest.__getattr__(name)
    (found,) = doctest.DocTestFinder(recurse=False).find(verb, name, globs={})
    ran = doctest.DocTestRunner(optionflags=doctest.NORMALIZE_WHITESPACE).run(found)
    assert ran.failed == 0
    assert ran.attempted or name == "sample_run"


@pytest.mark.parametrize("name", VERBS)
def test_every_verb_names_its_parameters_what_it_returns_and_raises(name):
    verb = edgetest.__getattr__(name)
    text = inspect.getdoc(verb)
    assert all(f"{head}\n{'-' * len(head)}" in text for head in ("Parameters", "Returns", "Raises"))
    named = {word.strip() for line in text.splitlines() if " : " in line
             for word in line.split(" : ")[0].split(",")}  # fmt: skip
    plain = {line.strip(" ,") for line in text.splitlines() if line and line[0] != " "}
    plain = {word.strip() for line in plain for word in line.split(",")}
    for parameter in inspect.signature(verb).parameters.values():
        if parameter.kind is not parameter.VAR_KEYWORD:
            assert parameter.name in named | plain, f"{name}: {parameter.name}"
