"""The verb on grey steps: `tone` makes the call that the command of its name makes."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

from edgetest.verbs.given import PathLike, path_of, several

if TYPE_CHECKING:
    from edgetest.photo.tone_steps import ToneSteps


def tone(
    pictures: PathLike | Sequence[PathLike],
    *,
    light: Sequence[float] = (),
    density: Sequence[float] = (),
    seconds: Sequence[float] = (),
) -> ToneSteps:
    """Find the curve on which a camera stores light, from its picture of grey steps.

    Parameters
    ----------
    pictures : path-like or sequence of path-like
        One picture of a row of grey patches that fills it; or one picture for each step, of one
        sheet of white paper under steady light.
    light : sequence of float, optional
        Relative light of the steps, any unit.
    density : sequence of float, optional
        In its place: optical densities of the patches.
    seconds : sequence of float, optional
        In its place: shutter times of the pictures.

    Returns
    -------
    ToneSteps
        Its `curve` is a `tone` for `measure`.

    Raises
    ------
    UnusableInput
        If steps and pictures do not match, or the patches are not seen.

    Examples
    --------
    >>> import edgetest as et
    >>> et.tone("no_such_wedge.jpg", light=(0.8, 0.4, 0.2, 0.1))
    Traceback (most recent call last):
    ...
    edgetest.errors.UnusableInput: no_such_wedge.jpg: there is no such file; check the name
    """
    from edgetest.study.photos.tone_pictures import tone_from_pictures

    paths = [path_of(each, "a picture") for each in several(pictures)]
    return tone_from_pictures(paths, light=light, density=density, seconds=seconds)
