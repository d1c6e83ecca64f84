"""What can hurt a maker at each step: every step that can has its caution."""

import pytest

from edgetest.steel.steel_cautions import CAUTIONS, cautions_at, cautions_of
from edgetest.steel.steel_seen import PieceSeen

BARE = PieceSeen("A", coating="none", lead="no", closed_hollow=False, loaded_spring=False)


@pytest.mark.parametrize(
    ("step", "words"),
    [
        ("carburise", ("carbon monoxide", "small vent", "No cyanide", "alarm", "galvanised")),
        ("coupon_water", ("steam", "face shield", "carbon monoxide")),
        ("coupon_oil", ("extinguisher", "all hot metal under")),
        ("temper_ladder", ("Never temper in a bath of hot oil",)),
        ("break_coupon", ("wrapped", "nobody in line")),
        ("trial_blade", ("glasses", "tang and handle", "laboratory decides", "carbon monoxide")),
        ("reuse", ("extinguisher", "dust", "glasses")),
        ("second_piece", ("extinguisher", "carbon monoxide", "fumes that can kill")),
        ("bend", ("away from your face",)),
        ("file_as_found", ("eye and breathing protection",)),
        ("sparks", ("eye and breathing protection",)),
    ],
)
def test_a_step_that_can_hurt_says_how_and_how_not(step, words):
    said = " ".join(cautions_of(step))
    for word in words:
        assert word in said


@pytest.mark.parametrize(
    ("piece", "words"),
    [
        ({"coating": "galvanised"}, "fumes that can kill"),
        ({"coating": None}, "until you have looked"),
        ({"coating": "hard_chrome"}, "neither heat it nor grind it"),
        ({"coating": "none", "lead": "suspected"}, "free-machining bar"),
        (
            {"coating": "none", "lead": "unknown"},
            "You wrote that nobody knows whether it holds lead",
        ),
        ({"coating": "none"}, "Nobody has written down whether it holds lead"),
        ({"coating": "none", "closed_hollow": True}, "bursts in the fire"),
        ({"coating": "none", "loaded_spring": True}, "unload it"),
    ],
)
def test_a_piece_that_can_hurt_is_told_first_whatever_the_step(piece, words):
    for step in ("sparks", "coupon_oil", "leave", None):
        assert words in cautions_at(step, PieceSeen("A", **piece))[0]


@pytest.mark.parametrize("coating", ["painted", "unknown", None, "none"])
def test_lead_that_nobody_knows_is_named_beside_every_coat(coating):
    said = cautions_at("leave", PieceSeen("A", coating=coating, lead="unknown"))
    assert any("nobody knows whether it holds lead" in one for one in said)


def test_a_bare_piece_is_not_warned_of_a_coating_it_has_not():
    for step in CAUTIONS:
        assert "galvanised" not in " ".join(cautions_at(step, BARE))
    assert "galvanised" in " ".join(cautions_at("coupon_oil", None))
