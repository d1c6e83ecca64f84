"""In which turn is each heat treatment cut, so that none is favoured by coming first or last?"""

from collections import Counter

import numpy as np


def williams_squares(count):
    """Rows of Latin squares balanced for what goes before (Williams' design [1]_).

    Parameters
    ----------
    count : int
        Things to put in order, 1 or more.

    Returns
    -------
    list of ndarray of int, shape (count, count)
        One square where `count` is even, two where it is odd; in each, every thing stands
        once in every row and in every place. Over all of them each thing follows each other
        one equally often.

    References
    ----------
    .. [1] E. J. Williams, "Experimental designs balanced for the estimation of residual
       effects of treatments", Aust. J. Sci. Res. A 2 (1949) 149-168.
    """
    zigzag = [0]
    for step in range(1, count):
        zigzag.append((zigzag[-1] + (step if step % 2 else -step)) % count)
    square = (np.array(zigzag) + np.arange(count)[:, None]) % count
    return [square] if count % 2 == 0 else [square, square[:, ::-1]]


def counterbalanced(blocks, rng):
    """Order of the things in every block, counterbalanced for position.

    A block is cut in rounds that hold each thing at most once; the rounds of all blocks follow
    the rows of Williams' squares, their things and rows drawn by lot. Where every block holds
    each thing equally often, each is first, second, … equally often as far as the number of
    rounds allows (within one).

    Parameters
    ----------
    blocks : sequence of sequence of str
        What each block holds, a heat treatment as often as it has blades there.
    rng : numpy.random.Generator

    Returns
    -------
    list of list of str
        The same, in the order in which it is cut.
    """
    things = list(dict.fromkeys(thing for held in blocks for thing in held))
    rng.shuffle(things)
    rows = _rows(len(things), rng)
    orders = []
    for held in blocks:
        rounds = _rounds(Counter(held), rng)
        order = [[things[i] for i in next(rows) if things[i] in one] for one in rounds]
        orders.append([thing for one in order for thing in one])
    return orders


def _rows(count, rng):
    """Rows of the squares without end, in each square by lot."""
    while True:
        for square in williams_squares(count):
            yield from rng.permutation(square)


def _rounds(counts, rng):
    """Sets of things, a round each: what is there less often is spread over the rounds."""
    rounds: list[set] = [set() for _ in range(max(counts.values(), default=0))]
    for thing, count in counts.items():
        places = (np.arange(count) + rng.random()) * len(rounds) / count
        for place in places.astype(int):
            rounds[place].add(thing)
    return rounds
