"""The tables behind the verdict: every number has a source, and a maker's own file takes over."""

import tomllib

import pytest

from edgetest.errors import UnusableInput
from edgetest.steel.steel_seen import (
    BREAKS,
    COLOURS,
    EDGES,
    FORGING,
    GRAINS,
    MAGNETS,
    MEDIA,
    ORIGINS,
    SPARKS,
    STREAMS,
    USES,
)
from edgetest.steel.steel_tables import SOURCE, STEELS
from edgetest.store.guide_pages import guide_pages
from edgetest.study.steel.steel_tables_file import OURS as TABLES
from edgetest.study.steel.steel_tables_file import load_steel_tables

OURS = load_steel_tables()


def own(tmp_path, text):
    path = tmp_path / "own.toml"
    path.write_text(text, encoding="utf-8")
    return load_steel_tables(path)


def test_every_row_names_its_source():
    for section, rows in OURS.numbers.items():
        for row in rows:
            assert len(OURS.sources[section][row]) > 10, (section, row)
            assert SOURCE not in rows[row]


@pytest.mark.parametrize(
    ("section", "words"),
    [("sparks", SPARKS), ("stream", STREAMS), ("magnet", MAGNETS), ("forging", FORGING),
     ("fracture", BREAKS), ("tough", USES)],
)  # fmt: skip
def test_every_word_has_its_number_for_every_steel(section, words):
    assert set(OURS.numbers[section]) == set(STEELS)
    assert all(set(row) == set(words) for row in OURS.numbers[section].values())


def test_every_origin_colour_medium_grain_and_edge_has_its_row():
    assert set(OURS.numbers["prior"]) == set(ORIGINS)
    assert set(COLOURS) <= set(OURS.numbers["heat"])
    assert set(MEDIA) <= set(OURS.numbers["crack"])
    assert set(OURS.chances("grain", "right")) == set(GRAINS)
    assert set(OURS.chances("edge", "right")) == set(EDGES)


def test_an_own_file_replaces_its_rows_alone(tmp_path):
    mine = own(
        tmp_path,
        '[prior]\nrail = { plain_high = 9, plain_medium = 1, source = "my own log, 10 rails" }',
    )
    assert mine.prior("rail")[STEELS.index("plain_high")] == pytest.approx(0.9)
    assert mine.sources["prior"]["rail"] == "my own log, 10 rails"
    assert mine.numbers["sparks"] == OURS.numbers["sparks"]


@pytest.mark.parametrize(
    ("text", "says"),
    [
        ("[prior]\nrail = { plain_high = 9 }", "no source"),
        ('[prior]\nspoon = { plain_high = 9, source = "my own log" }', "no such row"),
        ('[prior]\nrail = { gold = 9, source = "my own log" }', "gold"),
        ('[prior]\nrail = { plain_high = -1, source = "my own log" }', "-1"),
        (f'[prior]\nrail = {{ plain_high = {"9" * 400}, source = "my own log" }}', "at most 1e.12"),
        ('[prior]\nrail = { plain_high = nan, source = "my own log" }', "plain_high = nan"),
        ('[prior]\nrail = { plain_high = 0, source = "my own log" }', "nothing"),
        ('[mixed]\nlot = { chance = 2, source = "my own log" }', "chance"),
        ('[sparks]\nplain_low = { between = 2, source = "my own log" }', "left out"),
        ("[prior", "not valid TOML"),
        ("prior = 3", "not a table"),
    ],
)
def test_a_fault_of_an_own_file_is_named(tmp_path, text, says):
    with pytest.raises(UnusableInput, match=says):
        own(tmp_path, text)


def test_a_file_that_is_not_there_is_named(tmp_path):
    with pytest.raises(UnusableInput, match="there is no such file"):
        load_steel_tables(tmp_path / "none.toml")


@pytest.mark.parametrize(
    "text",
    [
        '[[own_pieces]]\norigin = "rail"\nturned_out = "super"',
        '[prior]\nrail = { plain_high = -1, source = "my own log, 10 rails" }',
    ],
)
def test_a_fault_in_an_own_file_names_the_file(tmp_path, text):
    with pytest.raises(UnusableInput, match=r"^own\.toml, "):
        own(tmp_path, text)


def test_the_guide_says_how_much_carbon_is_little_medium_and_much():
    kinds = tomllib.loads(TABLES.read_text(encoding="utf-8"))["steels"]
    page = " ".join(guide_pages()["reference/methods"].text.split())
    for name in ("plain_low", "plain_medium", "plain_high", "low_alloy_medium", "low_alloy_high"):
        mean, sd = kinds[name]["carbon_pct"], kinds[name]["carbon_sd_pct"]
        assert f"{mean:.2f} % ({mean - 2 * sd:.2f} to {mean + 2 * sd:.2f})" in page
