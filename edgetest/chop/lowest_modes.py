"""What are the slowest vibrations of a beam whose matrices are banded? Subspace iteration."""

import numpy as np

BAND = 3  # two freedoms a node, elements of two nodes
GUARDS = 4  # more vectors than wanted: each round then gains two digits and more
ROUNDS = 60
SETTLED = 1e-13  # relative change of the squares from one round to the next
POLISH = 2  # rounds after that: a vector settles half as fast as its square


def banded(blocks):
    """Element matrices of shape (n, 4, 4), joined node by node, as upper bands (4, 2 n + 2)."""
    count = len(blocks)
    bands = np.zeros((BAND + 1, 2 * count + 2))
    first = 2 * np.arange(count)
    for row in range(4):
        for column in range(row, 4):
            bands[BAND + row - column, first + column] += blocks[:, row, column]
    return bands


def times(bands, vectors):
    """A symmetric banded matrix times vectors, shape (n, k)."""
    out = bands[BAND][:, None] * vectors
    for off in range(1, BAND + 1):
        side = bands[BAND - off, off:][:, None]
        out[:-off] += side * vectors[off:]
        out[off:] += side * vectors[:-off]
    return out


def lowest_modes(stiffness, mass, start, *, skip, modes):
    """Lowest squares of angular frequency with their vectors (subspace iteration, shifted).

    Parameters
    ----------
    stiffness, mass : ndarray, shape (4, n)
        Upper bands of the symmetric matrices.
    start : ndarray, shape (n, k)
        Vectors to begin with; k of `skip` + `modes` and some guards.
    skip : int
        Modes below the wanted ones: 2 for a body that moves freely.
    modes : int
        How many are wanted.

    Returns
    -------
    ndarray, shape (modes,)
        Squares, 1/s².
    ndarray, shape (n, modes)
        Vectors.

    Raises
    ------
    numpy.linalg.LinAlgError
        If a part of the body has neither stiffness nor mass.

    References
    ----------
    .. [1] K. J. Bathe, Finite Element Procedures (1996), section 11.6: subspace iteration, and
       a shift for bodies that move freely.
    """
    from scipy.linalg import cho_solve_banded, cholesky_banded, eigh

    wanted = slice(skip, skip + modes)
    vectors = start / np.abs(start).max(axis=0)
    ritz = eigh(vectors.T @ times(stiffness, vectors), vectors.T @ times(mass, vectors))[0]
    shift = ritz[skip]
    if not shift > 0:
        raise np.linalg.LinAlgError("nothing resists")
    factor = cholesky_banded(stiffness + shift * mass)
    before, left = np.full(modes, np.inf), POLISH
    squares = before
    for _ in range(ROUNDS):
        driven = times(mass, vectors)
        moved = cho_solve_banded((factor, False), driven)
        shifted, mixed = eigh(moved.T @ driven, moved.T @ times(mass, moved))
        vectors, squares = moved @ mixed, (shifted - shift)[wanted]
        left -= bool(np.all(np.abs(squares - before) <= SETTLED * np.abs(squares)))
        if left < 0:
            break
        before = squares
    return squares, vectors[:, wanted]


def smooth_start(x, count):
    """Legendre polynomials along a beam as deflections and slopes at its nodes.

    Parameters
    ----------
    x : ndarray, shape (n,)
        Nodes, m, rising.
    count : int
        How many.

    Returns
    -------
    ndarray, shape (2 n, count)
    """
    scale = 2 / (x[-1] - x[0])
    values = np.polynomial.legendre.legvander((x - x[0]) * scale - 1, count - 1)
    slopes = np.zeros_like(values)
    for k in range(1, count):  # P'(k) = P'(k - 2) + (2 k - 1) P(k - 1)
        slopes[:, k] = (slopes[:, k - 2] if k > 1 else 0.0) + (2 * k - 1) * values[:, k - 1]
    return np.stack([values, scale * slopes], axis=1).reshape(2 * len(x), count)
