"""Both outlines laid together are told by what stands on their axes."""

from dataclasses import replace

import pytest
from numpy.testing import assert_allclose

from edgetest.photo.side.follow import follow
from edgetest.report.figures.following_figure import (
    MOST_NAMED,
    plot_following,
    words_of_following,
)
from tests.photo.side.test_laid_together import UM, chip, outline

OLD = chip(600.0, 60.0, 20.0)
NEW = chip(1500.0, 60.0, 20.0)


@pytest.fixture(scope="module")
def laid():
    before = outline(850, [chip(500.0, 60.0, 20.0), chip(900.0, 60.0, 20.0)])
    after = outline(800, [OLD, chip(1000.0, 90.0, 55.0), NEW], seed=1)
    return before, after, follow(before, after)


def names(ax):
    return [text.get_text() for text in ax.texts]


def test_each_place_has_its_state_in_words_above_it(laid):
    ax = plot_following(*laid)
    assert names(ax) == ["old", "grown 35 µm", "new"]
    assert_allclose([text.get_position()[0] for text in ax.texts], [0.5, 0.9, 1.4], atol=0.003)
    assert "as on the first picture (mm)" in ax.get_xlabel()


def test_the_second_outline_lies_on_the_first(laid):
    ax = plot_following(*laid)
    lines = {line.get_label(): line for line in ax.get_lines()}
    assert_allclose(lines["before"].get_xdata(), laid[0].position_um / 1000)
    assert_allclose(lines["after"].get_xdata(), laid[1].position_um / 1000 - 0.05 * UM, atol=0.002)
    named = [text.get_text() for text in ax.get_legend().get_texts()]
    assert sorted(named) == ["after", "before", "on one picture only"]


def test_words_do_not_lie_on_each_other_and_only_the_deepest_are_named():
    many = [chip(40.0 + 64 * k, 20.0, 20.0 + k) for k in range(30)]
    before, after = outline(800), outline(800, many, seed=1)
    found = follow(before, after, shift_um=0.0)
    ax = plot_following(before, after, found)
    assert len(ax.texts) == MOST_NAMED
    assert ax.get_title(loc="left") == "the 24 deepest of 30 places are named"
    figure = ax.figure
    figure.canvas.draw()
    boxes = [text.get_window_extent() for text in ax.texts]
    apart = [not a.overlaps(b) for k, a in enumerate(boxes) for b in boxes[:k]]
    assert all(apart)
    assert words_of_following(found).endswith("; and 6 more")


def test_outlines_that_are_not_laid_together_stand_apart_and_all_is_unknown():
    before, after = outline(800, [OLD]), outline(800, [OLD, NEW], edge=2, seed=1)
    found = follow(before, after)
    upper = plot_following(before, after, found)
    upper_and_lower = upper.figure.axes
    assert [names(ax) for ax in upper_and_lower] == [["unknown"], ["unknown", "unknown"]]
    assert upper.get_title(loc="left") == "not laid together: new or old is unknown"
    assert "not laid together: chip at 0.60 mm unknown" in words_of_following(found)


def test_the_figure_in_words_names_every_state(laid):
    assert words_of_following(laid[2]) == (
        "Outlines of the edge before and after, laid together: "
        "chip at 0.50 mm old; chip at 0.90 mm grown 35 µm; chip at 1.40 mm new"
    )
    nothing = replace(laid[2], chips=(), rolls=())
    assert words_of_following(nothing).endswith(": no damage")
