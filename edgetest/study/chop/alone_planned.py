"""How well do planned pieces document a tool that no other is held against?"""

from math import inf

from edgetest.chop.as_chopped import BOARDS_SD, PIECES_SD, SAME_SIZE
from edgetest.chop.tool_alone import LARGEST_FACTOR, typical_factor
from edgetest.study.words import counted

MORE = (6, 12)  # pieces, each of another board, that a plan looks at beside its own


def tools_of(study):
    """The tools of a study, its control among them."""
    return {blade.id for blade in study.blades} | ({study.control} - {None})


def boards_alone(source, boards):
    """The board of each piece that a tool without another beside it takes; () beside one.

    Parameters
    ----------
    source : Source
    boards : sequence of str
        Each once for every piece that it gives.

    Returns
    -------
    tuple of str
        At least as many as the protocol asks for.
    """
    if len(tools_of(source.study)) > 1:
        return ()
    pieces = max(len(boards), len(source.protocol.stages))
    return tuple(boards[k % len(boards)] for k in range(pieces))


def told_alone(boards, strokes, rng, level):
    """Pieces and the factor either side to which they tell one tool's mean, planned ones first.

    Parameters
    ----------
    boards : sequence of str
        Of the pieces that are planned; nothing is told without.
    strokes : float
        That a piece takes.
    rng : numpy.random.Generator
    level : float

    Yields
    ------
    (int, float)
    """
    for each in (boards, *(range(n) for n in MORE)) if boards else ():
        names = [f"{board}" for board in each]
        yield len(names), typical_factor(strokes, names, rng, level=level)


def alone_words(told):
    """What `told_alone` found, in a sentence or two that answer how many pieces it takes."""
    (planned, factor), *more = told
    better = ", ".join(f"{n} to {alone_factor_words(each)}" for n, each in more if n > planned)
    return (
        f"To document this tool alone, without a comparison, {counted(planned, 'piece')} "
        f"{'tells' if planned == 1 else 'tell'} its mean strokes for a piece to a factor of "
        f"{alone_factor_words(factor)} either side."
        + f" More boards tell it better, a piece of each: {better}."
        * bool(better)
        + f" Pieces of a board are taken to differ by {100 * PIECES_SD.middle:.0f} %, boards "
        f"by {100 * BOARDS_SD.middle:.0f} %. {one_size_words()}"
    )


def one_size_words():
    """How alike pieces must be to share a mean, for who chooses or saws them."""
    return (
        f"Choose pieces alike: only those up to {100 * (SAME_SIZE - 1):.0f} % larger than the "
        "smallest share a mean; a round stick of another thickness has a row of its own."
    )


def alone_factor_words(factor):
    """A factor either side, or that it is no use."""
    return f"over {LARGEST_FACTOR:.0f}" if factor == inf else f"about {factor:.2g}"
