"""A tool without another beside it: how well its pieces document it, in words."""

from math import inf
from types import SimpleNamespace

import pytest

from edgetest.study.chop.alone_planned import alone_words, boards_alone

TAKEN = "Pieces of a board are taken to differ by 16 %, boards by 14 %."
ALIKE = (
    " Choose pieces alike: only those up to 6 % larger than the smallest share a mean; a round"
    " stick of another thickness has a row of its own."
)


@pytest.mark.parametrize(
    ("told", "words"),
    [
        (
            ((3, 1.38), (6, 1.27), (12, 1.21)),
            "3 pieces tell its mean strokes for a piece to a factor of about 1.4 either side. More "
            "boards tell it better, a piece of each: 6 to about 1.3, 12 to about 1.2. ",
        ),
        (
            ((1, inf), (6, 1.27)),
            "1 piece tells its mean strokes for a piece to a factor of over 10 either side. More "
            "boards tell it better, a piece of each: 6 to about 1.3. ",
        ),
        (((12, 1.21), (6, 1.27), (12, 1.2)), "12 pieces tell its mean strokes for a piece to a "
         "factor of about 1.2 either side. "),
    ],
)  # fmt: skip
def test_fewer_pieces_than_planned_are_not_told(told, words):
    begin = "To document this tool alone, without a comparison, "
    assert alone_words(told) == f"{begin}{words}{TAKEN}{ALIKE}"


@pytest.mark.parametrize(
    ("control", "boards", "own"),
    [(None, "ab", ("a", "b", "a")), (None, "abcd", ("a", "b", "c", "d")), ("C1", "ab", ())],
)
def test_a_tool_takes_as_many_pieces_as_its_protocol_asks_for(control, boards, own):
    study = SimpleNamespace(blades=[SimpleNamespace(id="H1")], control=control)
    source = SimpleNamespace(study=study, protocol=SimpleNamespace(stages=(1, 2, 3)))
    assert boards_alone(source, boards) == own
