"""A study.toml changed in place: only the lines of the key concerned differ."""

import copy
import re
import tomllib

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from edgetest.errors import UnusableInput
from edgetest.store import toml_edit
from edgetest.store.places import shipped
from edgetest.store.toml_edit import edited

SAMPLES = sorted(shipped("sample_runs").glob("*/study.toml"))
PROTOCOLS = sorted(shipped("protocols").glob("*.toml"))

INTERLEAVED = """\
# opening words
title   =  "odd"    # spaced by hand


[[heat_treatments]]
id = "low"     # the first
steps = [ {kind="quench",medium = "oil"}, # in the bucket
          { kind = "temper" , temperature_c = 200.00, time_min = "2 h" } ]

# a table between two entries of one list
[scale]
um_per_px = 4.20e-1

[[blades]]
id = "A"
spine_mm = "1/4 in"

  [[heat_treatments]]   # set in
  id = 'high'

[[evidence.pieces]]
id = "disc"
[evidence.pack]
compound = '''charcoal
[not.a.heading]
# not a comment'''

[[evidence.pieces]]
id = "bar"
[[blades]]
id = "B"
mass_g = 1_200
# closing words
"""


def leaves(data, place=()):
    """Every place in tables and lists."""
    entries = data.items() if isinstance(data, dict) else enumerate(data)
    for key, value in entries:
        yield (*place, key)
        if isinstance(value, dict | list):
            yield from leaves(value, (*place, key))


def at(data, place):
    for key in place:
        data = data[key]
    return data


def lines_that_differ(before, after):
    """What stands between the first and the last byte that differ, whole lines of either text."""
    old, new = before.splitlines(keepends=True), after.splitlines(keepends=True)
    start = 0
    while start < min(len(old), len(new)) and old[start] == new[start]:
        start += 1
    end = 0
    while end < min(len(old), len(new)) - start and old[-1 - end] == new[-1 - end]:
        end += 1
    return old[start : len(old) - end], new[start : len(new) - end]


# One sample run stands for them all; each takes seconds.
FILES = [SAMPLES[0], *(pytest.param(path, marks=pytest.mark.slow) for path in SAMPLES[1:])]


@pytest.mark.parametrize("path", [*FILES, *PROTOCOLS], ids=lambda path: path.parent.name)
def test_any_plain_value_of_a_shipped_file_changes_alone(path):
    text = path.read_text(encoding="utf-8")
    data = tomllib.loads(text)
    for place in leaves(data):
        if isinstance(at(data, place), dict | list):
            continue
        new = copy.deepcopy(data)
        at(new, place[:-1])[place[-1]] = "changed"
        after = edited(text, data, new)
        assert tomllib.loads(after) == new
        was, now = lines_that_differ(text, after)
        assert len(was) == len(now) == 1


@pytest.mark.parametrize("line_end", ["\n", "\r\n"])
@pytest.mark.parametrize(
    "change",
    [
        lambda d: d.update(title="even"),
        lambda d: d["heat_treatments"][0]["steps"][1].update(temperature_c="400 °F"),
        lambda d: d["heat_treatments"][1].update(title="High"),
        lambda d: d["blades"][0].update(mass_g=900),
        lambda d: d["evidence"]["pack"].update(heats=[{"temperature_c": 900, "hours": 4}]),
        lambda d: d["evidence"]["pieces"][1].update(magnetic=True),
        lambda d: d["scale"].update(tone="srgb"),
        lambda d: d["heat_treatments"][0]["steps"].append({"kind": "cold"}),
    ],
)
def test_tables_between_entries_of_a_list_stay_where_they_are(change, line_end):
    text = INTERLEAVED.replace("\n", line_end)
    data = tomllib.loads(text)
    new = copy.deepcopy(data)
    change(new)
    after = edited(text, data, new)
    assert tomllib.loads(after) == new
    was, now = lines_that_differ(text, after)
    assert len(was) <= 1
    assert len(now) <= 2
    assert after.count("\n") == after.count(line_end)


def test_an_entry_comes_in_and_goes_out_without_a_trace():
    data = tomllib.loads(INTERLEAVED)
    more = copy.deepcopy(data)
    more["evidence"]["pieces"].insert(1, {"id": "spring", "magnetic": True})
    more["plan"] = {"order": [["1", "A"], ["1", "B"]]}
    after = edited(INTERLEAVED, data, more)
    assert tomllib.loads(after) == more
    assert after.endswith('# closing words\n\n[plan]\norder = [["1", "A"], ["1", "B"]]\n')
    assert edited(after, more, data) == INTERLEAVED


def test_a_comment_above_a_heading_outlives_what_stood_under_it():
    data = tomllib.loads(INTERLEAVED)
    new = {key: value for key, value in data.items() if key != "scale"}
    after = edited(INTERLEAVED, data, new)
    assert tomllib.loads(after) == new
    assert "# a table between two entries of one list\n\n[[blades]]" in after


def test_nothing_to_change_changes_nothing():
    data = tomllib.loads(INTERLEAVED)
    assert edited(INTERLEAVED, data, copy.deepcopy(data)) == INTERLEAVED
    assert edited(INTERLEAVED, data, data | {"title": "odd"}) == INTERLEAVED


def test_a_text_without_a_last_line_end_can_be_added_to():
    after = edited('title = "x"', {"title": "x"}, {"title": "x", "limit": 3, "scale": {"a": 1}})
    assert after == 'title = "x"\nlimit = 3\n\n[scale]\na = 1\n'


def test_new_tables_deeper_than_two_names_stand_in_braces():
    new = {"t": 1, "evidence": {"note": "n", "pack": {"heats": [{"a": 1}]}, "pieces": [{"id": 1}]}}
    assert edited("", {}, new) == (
        't = 1\n\n[evidence]\nnote = "n"\n\n[evidence.pack]\nheats = [{a = 1}]\n'
        "\n[[evidence.pieces]]\nid = 1\n"
    )


@pytest.mark.parametrize(
    ("text", "read", "new", "after"),
    [
        ("hrc = 59 # file\n", {"hrc": [59]}, {"hrc": [59, 60]}, "hrc = [59, 60] # file\n"),
        ("hrc = [59] # file\n", {"hrc": [59]}, {"hrc": 60}, "hrc = 60 # file\n"),
        ('w = "58-60"\n', {"w": [58, 60]}, {"w": [58, 62]}, "w = [58, 62]\n"),
        ("hrc = 59\n", {"hrc": [59]}, {}, ""),
    ],
)
def test_a_value_written_otherwise_than_it_is_read_is_set_whole(text, read, new, after):
    assert edited(text, read, new) == after
    blade = {"blades": [{"id": "A"} | read]}
    assert edited(f'[[blades]]\nid = "A"\n{text}', blade, {"blades": [{"id": "A"} | new]}) == (
        f'[[blades]]\nid = "A"\n{after}'
    )


def test_other_keys_keep_even_what_a_parser_would_write_otherwise():
    text = "a = 0\nb ={ c = 2026-05-04 }\n"
    data = tomllib.loads(text)
    assert edited(text, data, data | {"a": 1}) == "a = 1\nb ={ c = 2026-05-04 }\n"
    assert edited(text, data, {"b": data["b"]}) == "b ={ c = 2026-05-04 }\n"


DOTTED = 'scale.um_per_px = 4.2 # px\ntitle = "x"\nscale.note = "n"\n'


@pytest.mark.parametrize(
    ("new", "after"),
    [
        ({"title": "x"}, 'title = "x"\n'),
        ({"title": "x", "scale": {"note": "n"}}, 'title = "x"\nscale.note = "n"\n'),
        ({"title": "x", "scale": 3}, 'scale = 3\ntitle = "x"\n'),
        (
            {"title": "x", "scale": {"um_per_px": 4.2, "note": "m"}},
            'scale.um_per_px = 4.2 # px\ntitle = "x"\nscale.note = "m"\n',
        ),
    ],
)
def test_dotted_keys_belong_to_their_table_together(new, after):
    assert edited(DOTTED, tomllib.loads(DOTTED), new) == after


def test_a_table_of_dotted_keys_goes_with_the_headings_inside_it():
    text = "[f]\na.b = 1\na.c = 2\n[f.a.t]\nx = 1\n[g]\ny = 1\n"
    assert edited(text, tomllib.loads(text), {"f": {}, "g": {"y": 1}}) == "[f]\n[g]\ny = 1\n"


def test_a_text_that_would_not_say_what_was_asked_is_refused(monkeypatch):
    monkeypatch.setattr(toml_edit, "_applied", lambda text, _change: text)
    with pytest.raises(UnusableInput) as fault:
        edited("a = 1\n", {"a": 1}, {"a": 2})
    assert str(fault.value) == "a: the program cannot change this here; change it in an editor"


# A file as hands write it: odd blanks, comments, tables in braces, lists over several lines.
blank = st.sampled_from(["", " ", "  ", "\t"])
remark = st.sampled_from(["", " # why", "  #[x]", " # a = 1"])
plain = st.one_of(
    st.integers(-999, 999).map(str),
    st.sampled_from(["1.50", "2e3", "0.10", "true", '"1/4 in"', "'1500 °F'", "2026-05-04", '"#"']),
)
listed = st.builds(
    lambda parts, gap, note: f"[{gap}" + "".join(f"{p},{note}\n{gap}" for p in parts) + "]",
    st.lists(plain, max_size=3), blank, remark,
)  # fmt: skip
braced = st.builds(
    lambda values, gap: (
        "{" + ",".join(f"{gap}k{i}{gap}= {v}" for i, v in enumerate(values)) + gap + "}"
    ),
    st.lists(plain, max_size=3), st.sampled_from(["", " "]),
)  # fmt: skip
key_line = st.builds(
    lambda gap, value, note: f"{gap}KEY{gap} ={gap}{value}{note}\n",
    blank, st.one_of(plain, listed, braced), remark,
)  # fmt: skip
heading = st.sampled_from(["[[a]]", "[b]", "[[c]]", " [d.e] # x", "[[ d.f ]]", "[[a]]", "[[c]]"])
block = st.tuples(heading, st.lists(key_line, min_size=1, max_size=4), remark)


@settings(max_examples=80, deadline=None)
@given(st.lists(key_line, min_size=1), st.lists(block), st.randoms(use_true_random=False), plain)
def test_one_changed_key_changes_its_own_lines(opening, blocks, chance, value):
    pieces, number, seen = [], 0, set()
    for head, lines, note in [(None, opening, ""), *blocks]:
        if head in seen and "[[" not in head:
            continue
        seen.add(head)
        pieces += [note.strip() + "\n", f"{head}\n"] if head else []
        for line in lines:
            pieces.append(line.replace("KEY", f"key_{number}"))
            number += 1
    text = "".join(pieces)
    data = tomllib.loads(text)
    chosen = f"key_{chance.randrange(number)}"
    place = next(place for place in leaves(data) if place[-1] == chosen)
    new = copy.deepcopy(data)
    at(new, place[:-1])[chosen] = tomllib.loads(f"x = {value}")["x"]
    after = edited(text, data, new)
    assert tomllib.loads(after) == new
    index = next(k for k, piece in enumerate(pieces) if re.match(rf"\s*{chosen}\s", piece))
    assert after.startswith("".join(pieces[:index]))
    assert after.endswith("".join(pieces[index + 1 :]))
    without = copy.deepcopy(data)
    del at(without, place[:-1])[chosen]
    assert edited(text, data, without) == "".join(pieces[:index] + pieces[index + 1 :])


def test_a_key_that_the_library_would_write_otherwise_stays_as_it_stands():
    text = "a = 0\nb ={ day = 2026-05-04 }\n"  # tomlkit drops the blank behind a date
    old = tomllib.loads(text)
    assert edited(text, old, old | {"a": 1}) == text.replace("a = 0", "a = 1")
