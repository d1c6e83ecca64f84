"""A figure is drawn once for a study and what is asked, and anew where either changes."""

import shutil
from pathlib import Path

import pytest
from matplotlib.figure import Figure

from edgetest.app import remember
from edgetest.app.drawn_figures import Drawing
from edgetest.report.figures.plot_style import svg_bytes
from edgetest.store.kept_answers import FOLDER_VARIABLE
from edgetest.store.places import shipped


@pytest.fixture
def study(tmp_path, monkeypatch):
    monkeypatch.setenv(FOLDER_VARIABLE, str(tmp_path / "cache"))
    return Path(shutil.copytree(shipped("sample_runs") / "harrow_tine_study", tmp_path / "study"))


@pytest.fixture
def draw(study):
    made = []

    def figure():
        made.append(1)
        figure = Figure(figsize=(6, 3), layout="constrained")
        figure.subplots().plot([0, 1], [0, len(made)])
        return figure

    def drawn(*asked):
        return Drawing(figure, study, asked).drawn("wear"), len(made)

    return drawn


def test_it_is_drawn_once_and_comes_back_after_a_new_start(draw):
    first, _ = draw()
    assert b"<svg" in first.wide_svg
    assert first.wide_svg != first.narrow_svg
    assert first.width_in == 6
    assert draw() == (first, 1)
    remember._shelf("figure").clear()
    assert draw() == (first, 1)


def test_another_question_or_a_changed_study_draws_anew(draw, study):
    first, _ = draw("one")
    other, count = draw("two")
    assert (other != first, count) == (True, 2)
    with (study / "study.toml").open("a") as file:
        file.write("\n")
    assert draw("one")[1] == 3


def test_what_is_taken_away_is_the_figure_itself(study):
    figure = Figure(figsize=(4, 2))
    drawing = Drawing(lambda: figure, study)
    assert drawing.svg() == svg_bytes(figure)
    assert drawing.png().startswith(b"\x89PNG")


def test_a_phone_gets_the_narrow_figure_where_there_is_one(study):
    def figure(width_in):
        made = Figure(figsize=(width_in, 1.0))
        made.subplots().plot([0, width_in])
        return made

    def drawn(name, **more):
        return Drawing(lambda: figure(6.0), study, **more).drawn(name)

    own = drawn("balance", narrow=lambda: figure(3.0))
    assert b'width="216pt"' in own.narrow_svg
    assert b'width="216pt"' not in drawn("kick").narrow_svg
    assert own.width_in == 6.0
