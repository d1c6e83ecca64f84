"""A chop test's answer in rows for a spreadsheet: strokes, ratios and dulling, then the figures."""

from math import floor, inf, isfinite

from edgetest.chop.as_chopped import GREEN_PCT
from edgetest.chop.count_results import loss_parts
from edgetest.estimate import estimate_parts, format_count
from edgetest.report.documents.chopper_numbers import figure_rows, three
from edgetest.report.documents.chopper_ratio import leaning_words, ratio_doubted
from edgetest.report.wording import interval_words


def chop_answer_rows(result):
    """Blade, figure, value and interval of all that a chop test tells in numbers.

    A ratio of two tools stands with the first of them, one of heat treatments with no blade. What
    a ratio leans on stands in its name.

    Parameters
    ----------
    result : ChopResult

    Yields
    ------
    list of str
        In millimetres and grams; a mean without an upper end has no value, and its interval the
        bound that it has.
    """
    for blade in result.blades:
        own = [*_strokes(result, blade), *_ratios(result, blade), *_dulling(result, blade)]
        yield from ([blade, *map(str, row)] for row in (*own, *figure_rows(result, blade)))
    for ratio in result.report.treatments:
        only = " (of these tools only)" * (ratio.scope == "tools")
        what = f"Heat treatments: {ratio.quantity}, {ratio.first} over {ratio.second}{only}"
        yield ["", what, *_ends(ratio.ratio)]


def _strokes(result, blade):
    """Strokes for each kind of piece that a tool chopped or was reckoned for, and by area."""
    for one in result.as_chopped:
        if one.blade == blade:
            yield [_piece_words(one), *_mean(one)]
    for one in result.reckoned:
        if one.blade == blade:
            name = f"Strokes reckoned for a piece, not chopped: {one.wood_words}, {one.size_words}"
            yield [name, *interval_words(*three(one.strokes))]
    counts = result.report.counts
    stood = any((one.code, one.where.blade) == ("given_up", blade) for one in result.doubts)
    some = "; not all pieces severed" * stood
    for rate in counts.blades if counts is not None else ():
        figure = rate.chops_per_100_cm2
        if rate.blade == blade and isfinite(figure.high):
            name = f"Strokes reckoned by area for 100 cm² of {counts.reference_wood}{some}"
            yield [name, *interval_words(*three(figure))]


def _piece_words(one):
    """What was chopped and how many pieces of it: two waters of one wood are two rows."""
    wet = one.moisture_pct is not None and one.moisture_pct >= GREEN_PCT
    pieces = f"{one.pieces} piece{'s' * (one.pieces != 1)}"
    some = "" if one.standing == one.pieces else f"{one.standing} of them "
    standing = f", {some}not severed" if one.standing else ""
    return f"Strokes for one piece of {'green ' * wet}{one.piece_words()}; {pieces}{standing}"


def _mean(one):
    """A mean of strokes as the sheet prints it, or the bound where none of its pieces fell."""
    if one.strokes_per_piece.high == inf:
        return "", f"at least {floor(one.strokes_per_piece.low)}"
    return one.mean_words()


def _ratios(result, blade):
    """Strokes of a tool over those of each other that it was compared with."""
    counts = result.report.counts
    for ratio in counts.ratios if counts is not None else ():
        if ratio.first == blade:
            leans = leaning_words(result, ratio)
            if ratio_doubted(result, ratio, "ratio_differs_by_piece"):
                leans += " (not alike on all pieces)"
            woods = counts.in_woods(ratio)
            pair = f"Strokes, {ratio.first} over {ratio.second}"
            if not (woods and woods.apart):
                yield [f"{pair}{leans}", *_ends(ratio.ratio)]
            for one in woods.woods if woods else ():
                yield [f"{pair}, in {one.wood}", *_ends(one.compared.ratio)]


def _ends(ratio):
    """A ratio and its interval, with the digits that tell it from 1."""
    return estimate_parts(*three(ratio), apart=1.0)


def _dulling(result, blade):
    """How many more strokes a tool's own edge asks for as it is used, in words: no cell begins
    with a minus, which a spreadsheet may take for a formula.
    """
    counts = result.report.counts
    for one in counts.dulling_by_tool if counts is not None else ():
        if one.blade == blade:
            name = "Strokes once the edge has made 100 strokes more, as it dulls"
            yield [name, *loss_parts(one.pct_per_100_chops)]
            if one.third_more is not None:
                name = "Strokes with one edge until a piece takes a third more (our choice"
                yield [f"{name}{_beyond(one.third_more)})", *_third(one.third_more)]


def _beyond(third):
    """That it is reckoned on from the strokes that were made; "" where it lies among them."""
    return f"; it made {third.made:.0f}: only if it dulls on alike" if third.beyond else ""


def _third(third):
    """Strokes until a third more with their interval, or the bound that there is."""
    if third.strokes is None:
        return "", third.words().split(" strokes")[0]
    return format_count(*three(third.strokes))
