"""Sparks ranked beside a known steel that nobody named are asked about, doubted, and count less."""

import pytest

from edgetest.steel.steel_seen import PieceSeen
from edgetest.study.steel.as_seen import steel_seen_of
from edgetest.study.steel.known_beside import (
    as_shown_beside,
    known_beside_asked,
    known_beside_doubts,
)
from edgetest.study.steel.steel_rows import SteelRows, VerdictWishes

LOW, HIGH = {"known_low": "mild bar"}, {"known_high": "an old file"}


def rows(sparks, **known):
    return SteelRows.model_validate({"pieces": [{"id": "A", "sparks": sparks}], **known})


@pytest.mark.parametrize(
    ("sparks", "known", "side", "open_word"),
    [("between", LOW, "high", "more than low"), ("like high", LOW, "high", "more than low"),
     ("fewer than high", LOW, "high", "more than low"),
     ("between", HIGH, "low", "fewer than high"), ("like low", HIGH, "low", "fewer than high")],
)  # fmt: skip
def test_the_other_known_steel_is_asked_for_and_doubted(sparks, known, side, open_word):
    found = rows(sparks, **known)
    (asked,) = known_beside_asked(found)
    assert f'pieces 1 (A), sparks: "{sparks}" needs a known {side}-carbon steel' in str(asked)
    assert f'known_{side} = … in [evidence]; if there was none, write sparks = "{open_word}"' in (
        str(asked)
    )
    (one,) = known_beside_doubts(found)
    assert (one.code, one.where.value) == ("spark_steel_unnamed", "A")
    assert one.text.startswith(f'The sparks of A are noted as "{sparks}", and no known {side}-c')
    between = f'they count as "{open_word}", which is all that one known steel shows.'
    assert (between if sparks == "between" else "they count as beside a known one.") in one.text


@pytest.mark.parametrize(
    ("sparks", "known"),
    [("between", LOW | HIGH), ("between", {}), ("like low", LOW), ("more than low", LOW),
     ("fewer than high", HIGH), ("like high", HIGH), (None, LOW)],
)  # fmt: skip
def test_what_the_named_steel_shows_is_nothing_to_ask(sparks, known):
    assert [*known_beside_asked(rows(sparks, **known))] == []
    assert [*known_beside_doubts(rows(sparks, **known))] == []


def test_pieces_of_one_word_are_doubted_in_one_sentence():
    pieces = [{"id": name, "sparks": "between"} for name in "AB"]
    (one,) = known_beside_doubts(SteelRows.model_validate({"pieces": pieces, **LOW}))
    assert one.text.startswith("The sparks of A and B are noted as")


def test_beside_both_a_word_for_one_is_asked_to_be_closer():
    (asked,) = known_beside_asked(rows("more than low", **LOW, **HIGH))
    assert '"more than low" leaves open how many beside the other known steel' in str(asked)
    assert "one of between, like high, more than high, if you held it beside both" in str(asked)


def test_between_counts_as_what_one_steel_shows_and_stays_noted_as_typed():
    found = steel_seen_of(rows("between", **LOW), VerdictWishes())
    assert found.seen.pieces[0].sparks == "more_than_low"
    assert found.noted.pieces[0].sparks == "between"
    told = {"sparks": "between"}, {"sparks": "like_high"}, {"sparks": None}
    pieces = tuple(PieceSeen(f"{k}", **each) for k, each in enumerate(told))
    counts = [one.sparks for one in as_shown_beside(pieces, rows("between", **HIGH))]
    assert counts == ["fewer_than_high", "like_high", None]
    assert as_shown_beside(pieces, rows("between", **LOW, **HIGH)) == pieces
