"""Inverse covariance of blades' log readings, by Woodbury's identity on places and stages."""

from dataclasses import dataclass

import numpy as np

PARTS = 3  # variances that all blades share; those of the paths follow, one a heat treatment


@dataclass(frozen=True)
class Inverse:
    """V⁻¹ = D - D U K U' D of the chunks' blades, the curves' own parameters left out.

    With T = U'DU and the covariance Ω of places and stages: `e` = (I + Ω T)⁻¹, `k` = e Ω,
    `r0` = U' V⁻¹ U = T e; V⁻¹ U = D U e. `log_det` (C,) = log|I + Ω T|. `t` = T, U'D²U, U'D³U.
    """

    t: tuple[np.ndarray, ...]
    e: np.ndarray
    k: np.ndarray
    r0: np.ndarray
    log_det: np.ndarray

    @classmethod
    def at(cls, tables, own, effects, powers=1):
        """With the variances `own` of the first blades' cells and effects (σ_place², stages')."""
        places = tables.places
        station, stages = effects
        d = tables.weight / own
        t = tuple(tables.inner(d**n) for n in range(1, powers + 1))
        turned = np.concatenate(
            [station * t[0][:, :places], np.matmul(stages, t[0][:, places:])], axis=1
        )
        turned += np.eye(turned.shape[1])
        e = np.linalg.inv(turned)
        k = np.concatenate(
            [station * e[:, :, :places], np.matmul(e[:, :, places:], stages)], axis=2
        )
        return cls(t, e, k, np.matmul(t[0], e), np.linalg.slogdet(turned)[1])


def stage_covariance(variances, tables, path):
    """Covariance (C, S, S) of what stages and path add at a variance of each."""
    out = variances[2] * np.eye(tables.stages.shape[1])[None]
    if path is None:
        return np.broadcast_to(out, (len(tables.group), *out.shape[1:]))
    return out + variances[PARTS + tables.group][:, None, None] * path
