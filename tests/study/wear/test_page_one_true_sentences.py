"""Odd or untrue sentences that a reader of finished documents met: each through the command."""

import html
import json
import re

import pytest

from edgetest.store.workspace import new_study
from edgetest.study.words import freedom_words, name_of_reading

pytestmark = pytest.mark.usefixtures("blank_figures")  # words are read

NOTHING_BELOW = re.compile(r"\(-?0(?:\.0+)? to |\bhere 0 to")


def words_of(path):
    """What a browser shows of a page, as running text."""
    text = re.sub(r"<(style|svg).*?</\1>", " ", path.read_text(encoding="utf-8"), flags=re.S)
    return " ".join(html.unescape(re.sub(r"<[^>]+>|\u200b|\u00ad", "", text)).split())


def lived(folder, lives, blocks=()):
    """A study of lives as they were noted, None of a blade not run; `blocks` blade by blade."""
    names = [f"{name}{i}" for name, of in lives.items() for i in range(1, len(of) + 1)]
    blades = [{"id": blade, "heat_treatment": blade.rstrip("123456789")} for blade in names]
    new_study(
        folder, "sisal_rope", "Billhooks", heat_treatments=[{"id": name} for name in lives],
        blades=blades,
    )  # fmt: skip
    every = [life for of in lives.values() for life in of]
    rows = zip(names, blocks or [""] * len(names), every, strict=True)
    rows = [",".join(map(str, row)) for row in rows if row[-1]]
    lines = ["blade,block,life", *rows]
    (folder / "log.csv").write_text("\n".join(lines) + "\n", encoding="utf-8")
    return folder


def forces(folder, blades):
    """A study of severing forces: {blade: (heat treatment, forces by cuts)}."""
    treatments = [{"id": one} for one in dict.fromkeys(name for name, _ in blades.values())]
    new_study(
        folder, "thread_severing", "Billhooks", heat_treatments=treatments,
        blades=[{"id": blade, "heat_treatment": name} for blade, (name, _) in blades.items()],
    )  # fmt: skip
    rows = [f"{b},{cuts},{f}" for b, (_, read) in blades.items() for cuts, f in read.items()]
    (folder / "log.csv").write_text("blade,cuts,sever_force_gf\n" + "\n".join(rows) + "\n")
    return folder


def test_no_end_of_a_ratio_or_of_a_life_is_told_as_nothing(tmp_path, answer, run):
    folder = lived(tmp_path / "s", {"low": (40, 900), "high": (60, 3000, 2)})
    told = answer("compare", folder, "--json")
    assert 0 < told["ratio"]["low"] < 0.05
    code, _, err = run("report", folder, "--to", folder / "out")
    assert code == 0, err
    page = words_of(folder / "out" / "comparison.html")
    assert told["summary"].count(" times as long as ") == 1
    assert not NOTHING_BELOW.search(told["summary"] + page)
    assert "anything from under 0.1 to over 10 times as long as" in told["summary"]
    assert "The lives leave the ratio open" in page


@pytest.mark.parametrize("df", [1, 1.0004, 0.9996])
def test_one_degree_of_freedom_is_one(df):
    assert freedom_words(df) == "1 degree of freedom"


def test_unequal_are_only_the_lives_that_are_known(tmp_path, answer):
    """Four blades of each were made; of one heat treatment three have a life."""
    lives = {"low": (300, 310, 305, 312), "high": (350, 360, 355, None)}
    told = answer("compare", lived(tmp_path / "s", lives), "--json")
    said = {one["code"]: one["text"] for one in told["warnings"]}
    assert "different numbers of blades whose life is known" in said["unbalanced"]


def test_blocks_with_all_heat_treatments_are_not_said_to_lack_one(tmp_path, answer):
    lives = {"low": (300, 310, 305), "high": (350, 360, 355)}
    folder = lived(tmp_path / "s", lives, ("a", "a", "b", "a", "b", "b"))
    told = answer("compare", folder, "--json")
    said = {one["code"]: one["text"] for one in told["warnings"]}
    assert "spread unevenly over the blocks" in said["incomplete_block"]
    assert "does not hold" not in said["incomplete_block"]


def test_blades_of_a_heat_treatment_held_their_edges(tmp_path, answer):
    lives = {"low": (300,), "high": (900, 905, 910)}
    plain = answer("compare", lived(tmp_path / "s", lives), "--json")["page_one"]["plain"]
    assert "blades of high" in plain
    assert "blades of high held its edge" not in plain


def test_one_reading_has_one_name_and_a_force_no_verb_that_needs_a_number(tmp_path, answer, run):
    read = {0: 100, 6: 160, 30: 220, 62: 240}
    blades = {f"h{i}": ("hard", {n: f + i for n, f in read.items()}) for i in (1, 2)}
    blades |= {"s1": ("soft", {n: 1.4 * f for n, f in read.items()})}
    folder = forces(tmp_path / "s", blades)
    said = json.dumps(answer("compare", folder, "--json"))
    assert run("report", folder, "--to", folder / "out")[0] == 0
    page = words_of(folder / "out" / "comparison.html")
    assert "times as great with" in said
    assert not re.search(r"\d blades of \w+ needs", said + page)
    assert name_of_reading("sever_force_gf") in page
    assert "sever force" not in said + page
