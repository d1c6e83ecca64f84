"""A mend names a heading that TOML reads."""

import tomllib

import pytest

from edgetest.store.toml_faults import heading_of


@pytest.mark.parametrize("name", ["rule8", "8 um/px", 'the "old" scope', "x.y"])
def test_a_heading_that_a_mend_names_is_read_as_that_table(name):
    assert tomllib.loads(f"{heading_of('scales', name)}\n") == {"scales": {name: {}}}
    assert heading_of("scales", "rule8") == "[scales.rule8]"
