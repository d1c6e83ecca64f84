"""What a tool is reckoned to take for pieces that it did not chop, in sentences of its sheet."""

from edgetest.report.documents.chopper_numbers import three
from edgetest.report.documents.tools_beside import beside
from edgetest.report.wording import in_units, interval_words
from edgetest.study.words import counted


def reckoned_sentences(result, blade, units):
    """Strokes for pieces that were not chopped, said to be reckoned."""
    for one in result.reckoned:
        if one.blade == blade:
            value, interval = interval_words(*three(one.strokes))
            piece = f"{one.wood_words}, {in_units(one.size_words, units)}"
            level = f"{100 * result.report.level:g} % interval {interval}"
            theirs = "".join(_reckoned_beside(result, blade, one))
            told = f"Reckoned, not chopped: {value} strokes, {level}, for a piece of {piece}"
            yield f"{told}{one.own_words(_shown)}{theirs}."
    mine = next((one for one in result.reckoned if one.blade == blade), None)
    if mine is not None:
        rows = [piece for piece in result.pieces if piece.blade == blade and piece.knots]
        knots = f" Knots in {counted(len(rows), 'piece')}: then such an interval holds less often."
        yield f"What is reckoned{mine.rests_words.removeprefix('It')}.{knots * bool(rows)}"


def _shown(value, low, high):
    """An estimate of few digits with its interval."""
    return " (".join(interval_words(value, low, high)) + ")"


def _reckoned_beside(result, blade, one):
    """What the tools beside are reckoned to take for the same piece, each with its interval."""
    for two in result.reckoned:
        same = (two.wood_words, two.size_words) == (one.wood_words, one.size_words)
        if same and two.blade in beside(result, blade)[1:]:
            yield f"; {two.blade} {' ('.join(interval_words(*three(two.strokes)))})"
