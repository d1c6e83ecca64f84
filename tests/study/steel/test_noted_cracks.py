"""Which notes of a piece say that it is cracked, and is it told to mind?"""

import pytest

from edgetest.steel.steel_cautions import CRACKED
from edgetest.study.steel.judge_steel import judge_steel
from edgetest.study.steel.noted_cracks import said_cracked
from tests.study.steel.found_steel import PIECE, make_study


@pytest.mark.parametrize(
    ("note", "said"),
    [
        ("hairline crack at the eye, from use; seen in dye", True),
        ("cracked at one end", True),
        ("two cracks, one hairline", True),
        ("no rust, but a crack at the eye", True),
        ("", False),
        ("no crack", False),
        ("not cracked, no visible cracks", False),
        ("cracks: none", False),
        ("crack at the eye cut off", False),
        ("crack at the eye not cut off yet", True),
        ("crack at the rim to be cut off", True),
        ("leave it until the crack is ground out", True),
        ("cracker box", False),
    ],
)
def test_a_crack_is_read_from_the_note(note, said):
    assert said_cracked(note) is said


def test_a_noted_crack_comes_first_of_what_to_mind_and_is_told_of_other_pieces_too(tmp_path):
    cracked = PIECE + 'note = "hairline crack at the eye"\n' + PIECE.replace('"leaf"', '"other"')
    folder = make_study(tmp_path / "s", evidence=cracked)
    result = judge_steel(folder, piece="leaf", try_numbers=False)
    assert result.cautions()[0] == CRACKED
    result = judge_steel(folder, piece="other", try_numbers=False)
    assert f"Piece leaf: {CRACKED[:1].lower()}{CRACKED[1:]}" in result.cautions()
    assert CRACKED not in result.cautions()
