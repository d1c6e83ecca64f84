"""Which blades were read alike: their cells as tables of places × stages, worked out once.

What the residuals' likelihood needs of a blade's cells, beside sums of its readings, are sums of
their weights by place and by stage. Blades of one heat treatment read at the same cuts and places
with the same variances share them: such blades stand together in a row of a chunk.
"""

from dataclasses import dataclass

import numpy as np


@dataclass(frozen=True)
class Tables:
    """Blades in C chunks of M slots; a chunk's blades share their table of P places × S stages.

    `weight` (0 for bounds) and `known` variance of the cells of each chunk's first blade, `cell`
    (C·P·S numbering) of each. `group` (C,) numbers the heat treatments; `slot` (B,) is where each
    blade stands; `stages` (C, S) their cuts, 0 for padding.
    """

    places: int
    weight: np.ndarray
    known: np.ndarray
    cell: np.ndarray
    stages: np.ndarray
    group: np.ndarray
    slot: np.ndarray
    depth: int

    @property
    def filled(self):
        """Whether a blade stands in each slot (C, M)."""
        out = np.zeros(len(self.group) * self.depth, dtype=bool)
        out[self.slot] = True
        return out.reshape(-1, self.depth)

    def inner(self, d):
        """U' diag(d) U (C, D, D) for `d` of the first blades' cells; U tells place and stage."""
        chunks, stages = self.stages.shape
        table = np.bincount(self.cell, d, chunks * self.places * stages)
        table = table.reshape(chunks, self.places, stages)
        size = self.places + stages
        out = np.zeros((chunks, size, size))
        out[:, : self.places, self.places :] = table
        out[:, self.places :, : self.places] = table.transpose(0, 2, 1)
        diagonal = np.arange(size)
        out[:, diagonal[: self.places], diagonal[: self.places]] = table.sum(axis=2)
        out[:, diagonal[self.places :], diagonal[self.places :]] = table.sum(axis=1)
        return out

    def at_stages(self, values):
        """Arrays (S, ...) of the blades as one (C, M, S, ...), 0 for padding."""
        chunks, stages = self.stages.shape
        out = np.zeros((chunks * self.depth, stages, *values[0].shape[1:]))
        for slot, value in zip(self.slot, values, strict=True):
            out[slot, : len(value)] = value
        return out.reshape(chunks, self.depth, *out.shape[1:])


def tables_of(blades, *, bounds=False):
    """Gather the blades into tables.

    Parameters
    ----------
    blades : sequence of Cells
    bounds : bool
        Bounds count as numbers of their known variance; left out otherwise.

    Returns
    -------
    Tables
    """
    alike: dict[tuple, list[int]] = {}
    for i, b in enumerate(blades):
        alike.setdefault(_read_as(b), []).append(i)
    depth = -(-len(blades) // len(alike))
    chunks = [these[k : k + depth] for these in alike.values() for k in range(0, len(these), depth)]
    places = max(b.n_stations for b in blades)
    stages = np.zeros((len(chunks), max(len(b.stages) for b in blades)))
    slot = np.empty(len(blades), dtype=int)
    cell, weight, known = [], [], []
    for c, these in enumerate(chunks):
        slot[these] = c * depth + np.arange(len(these))
        first = blades[these[0]]
        stages[c, : len(first.stages)] = first.stages
        cell.append((c * places + first.station) * stages.shape[1] + first.stage)
        weight.append(np.ones(len(first.stage)) if bounds else ~first.bounded)
        known.append(first.known_var)
    return Tables(
        places,
        np.concatenate(weight).astype(float),
        np.concatenate(known),
        np.concatenate(cell),
        stages,
        np.array([blades[these[0]].group for these in chunks]),
        slot,
        depth,
    )


def _read_as(blade):
    """What blades must share to share their table."""
    arrays = (blade.stages, blade.stage, blade.station, blade.known_var, blade.bounded)
    return (blade.group, *(a.tobytes() for a in arrays))


def by_stage(blades, values):
    """What holds at every cell of a stage (N, ...), stage by stage (S, ...)."""
    out = []
    for b, value in zip(blades, values, strict=True):
        each = np.zeros((len(b.stages), *value.shape[1:]))
        each[b.stage] = value
        out.append(each)
    return out


def each(matrix, columns):
    """A chunk's matrix (C, i, j) times every blade's columns (C, M, j, n)."""
    chunks, depth, inner, n = columns.shape
    wide = columns.transpose(0, 2, 1, 3).reshape(chunks, inner, depth * n)
    out = np.matmul(matrix, wide).reshape(chunks, matrix.shape[1], depth, n)
    return np.ascontiguousarray(out.transpose(0, 2, 1, 3))
