"""In which turn is each heat treatment cut, so that none is favoured by coming first or last?"""

from collections import Counter, defaultdict

import numpy as np

# Orders drawn, of which the most even is taken. Firsts differed by more than one in 677 of 3,200
# orders (16 layouts, 200 seeds) with one draw, in 29 with 5, in none with 10; the rest is for the
# places. All 40 take 4 ms of 14 blades, 20 ms of 48.
DRAWS = 40


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


def counterbalanced(blocks, rng, *, apart=None):
    """Order of the things in every block, counterbalanced for position.

    A block is cut in rounds that hold each thing at most once. Rounds follow the rows of
    Williams' squares, drawn by lot: the next block, and the next round, each begin one row further.
    Of `DRAWS` orders drawn so, the most even one is taken (restricted randomisation [1]_): by how
    often each thing is first, then by its mean place, then by how often it has each place.

    Parameters
    ----------
    blocks : sequence of sequence of str
        What each block holds, a heat treatment as often as it has blades there.
    rng : numpy.random.Generator
    apart : str, optional
        The control blade's name among the things: who is first among the others counts.

    Returns
    -------
    list of list of str
        The same, in the order in which it is cut. Where every block holds each thing, each is
        first in as many blocks as any other, or in one fewer.

    References
    ----------
    .. [1] P. M. Grundy and M. J. R. Healy, "Restricted randomization and quasi-Latin squares",
       J. R. Statist. Soc. B 12 (1950) 286-291; from memory.
    """
    counts = [Counter(held) for held in blocks]
    alike = len(blocks) == 1 and len(set(counts[0].values())) == 1
    orders = [_drawn(counts, rng) for _ in range(1 if alike else DRAWS)]
    return min(orders, key=lambda order: _unevenness(order, apart))


def _drawn(counts, rng):
    """One order of every block, by Williams' rows."""
    things = list(dict.fromkeys(thing for count in counts for thing in count))
    rng.shuffle(things)
    rows = np.concatenate([rng.permutation(one) for one in williams_squares(len(things))])
    start = int(rng.integers(len(rows)))
    orders = []
    for place, count in enumerate(counts):
        order: list[str] = []
        for number, one in enumerate(_rounds(count, rng)):
            row = rows[(start + place + number) % len(rows)]
            order += [things[i] for i in row if things[i] in one]
        orders.append(order)
    return orders


def _unevenness(orders, apart):
    """How far firsts, mean places and places are from what would favour nothing."""
    others = [[thing for thing in order if thing != apart] for order in orders]
    return _off(others, 1), _drift(others), _off(others, None), _off(orders, None), _drift(orders)


def _drift(orders):
    """Sum of squares of how much a hand that tires evenly would cost each thing."""
    had: dict = defaultdict(float)
    for order in orders:
        for place, thing in enumerate(order):
            had[thing] += (place + 0.5) / len(order) - 0.5
    return round(sum(off**2 for off in had.values()), 9)


def _off(orders, places):
    """Sum of squares of how often each thing has each place, less how often it should."""
    had: dict = defaultdict(float)
    for order in orders:
        share = {thing: count / len(order) for thing, count in Counter(order).items()}
        for place, there in enumerate(order[:places]):
            had[there, place] += 1
            for thing, part in share.items():
                had[thing, place] -= part
    return round(sum(off**2 for off in had.values()), 9)


def _rounds(counts, rng):
    """Sets of things, a round each: what is there less often is spread over the rounds."""
    rounds: list[set] = [set() for _ in range(max(counts.values(), default=0))]
    for thing, count in counts.items():
        places = (np.arange(count) + rng.random()) * len(rounds) / count
        for place in places.astype(int):
            rounds[place].add(thing)
    return rounds
