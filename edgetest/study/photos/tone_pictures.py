"""The tone curve of a camera, from its pictures of grey steps, and where it is kept."""

from dataclasses import replace
from pathlib import Path

import numpy as np

from edgetest.doubts import placed
from edgetest.errors import UnusableInput
from edgetest.photo.scale.kept_scale import named
from edgetest.photo.tone_steps import ToneSteps, even_level, known_light, patches_in, tone_of_steps
from edgetest.store.files import locked
from edgetest.store.images import stored_grey
from edgetest.store.toml_edit import change_toml
from edgetest.study.photos.calibrations import CALIBRATIONS_FILE, read_calibrations
from edgetest.study.photos.photo_scales import existing
from edgetest.study.study_edit import change_study

ONE_WAY = "give light, or density, or (with one picture a step) seconds"


def tone_from_pictures(paths, *, light=(), density=(), seconds=()) -> ToneSteps:
    """The tone curve from one picture of a row of patches, or one picture for each step.

    Parameters
    ----------
    paths : sequence of path-like
        One picture whose patches lie in a row and fill it; or as many as there are steps, each
        of the same even surface.
    light : sequence of float
        Relative light of the steps, in the order of the patches or pictures, any unit.
    density : sequence of float
        In its place: optical density of the patches, log10 of 1 over the light.
    seconds : sequence of float
        In its place: shutter times of the pictures, all else (lamp, gain) alike.

    Returns
    -------
    ToneSteps

    Raises
    ------
    UnusableInput
        If steps or pictures do not match, a picture cannot be read or shows no such patches.
    """
    ways = [way for way in (light, density, seconds) if len(way)]
    if len(ways) != 1:
        raise UnusableInput(f"{len(ways)} ways to know the steps", "grey steps", ONE_WAY)
    steps = known_light(10.0 ** -np.asarray(density, float) if len(density) else ways[0])
    paths = [existing(path) for path in paths]
    greys = [stored_grey(path) for path in paths]
    name = paths[0].name
    if len(paths) == 1 and not len(seconds):
        values = _told_of(name, lambda: patches_in(greys[0], len(steps)))
        if np.sign(values[-1] - values[0]) != np.sign(steps[-1] - steps[0]):
            values = values[::-1]  # the picture shows the row from its other end
    elif len(paths) == len(steps):
        values = [_told_of(path.name, lambda g=grey: even_level(g))
                  for path, grey in zip(paths, greys, strict=True)]  # fmt: skip
    else:
        what = f"{len(paths)} pictures and {len(steps)} steps"
        raise UnusableInput(what, "grey steps", "give one picture of all steps, or one of each")
    found = _told_of(name, lambda: tone_of_steps(values, steps))
    return replace(found, doubts=placed(found.doubts, file=name))


def step_numbers(text, where):
    """What is known of steps as typed: numbers with commas between them, 1/60 for a fraction.

    Raises
    ------
    UnusableInput
    """
    found = []
    for part in (text or "").split(","):
        above, _, below = part.partition("/")
        try:
            found += [float(above) / float(below or 1)] if part.strip() else []
        except (ValueError, ZeroDivisionError):
            mend = "write numbers with commas, such as 0.05,0.20,0.35 or 1/60,1/30"
            raise UnusableInput(f'"{part.strip()}" is no number', where, mend) from None
    return found


def _told_of(name, take):
    """What `take` returns; a fault of it names the picture."""
    try:
        return take()
    except UnusableInput as fault:
        raise UnusableInput(fault.what, f"{name}, {fault.where}", fault.mend) from None


def keep_tone(root, name, steps):
    """Put a tone curve beside the scale of a kept calibration.

    Raises
    ------
    UnusableInput
        If no calibration is called so.
    """
    with locked(root):
        kept = named(read_calibrations(root).values(), name)
        change_toml(
            Path(root) / CALIBRATIONS_FILE,
            lambda all_: all_ | {kept.name: all_[kept.name] | {"tone": list(steps.curve)}},
        )
    return kept.name


def put_tone(folder, name, tone):
    """Put the tone curve of a set-up's camera into study.toml, beside its scale.

    Parameters
    ----------
    folder : path-like
    name : str
        Of the scale; "" is the one of all photographs without a name.
    tone : str, float, sequence of float or None
        As `ScaleRule.tone` holds it.

    Raises
    ------
    UnusableInput
        If the study has no scale of that name.
    """

    def change(study):
        now = study.scales.get(name) if name else study.scale
        if now is None:
            what = f'there is no scale "{name}" to put the tone beside'
            raise UnusableInput(what, "study.toml, scale", "take the scale of the set-up first")
        kept = tuple(tone) if isinstance(tone, list | tuple) else tone
        made = now.model_copy(update={"tone": kept})
        if not name:
            return study.model_copy(update={"scale": made})
        return study.model_copy(update={"scales": {**study.scales, name: made}})

    return change_study(folder, change)
