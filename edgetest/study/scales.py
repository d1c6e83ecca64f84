"""The scales of a study's photographs, taken from numbers, rulings or marks."""

from pathlib import Path

from edgetest.errors import UnusableInput
from edgetest.photo.scale import Scale, scale_from_marks, scale_from_number, scale_from_ruling


def scale_of_ruling(path, pitch_um):
    """Scale from a photograph of a stage micrometer.

    Parameters
    ----------
    path : str or Path
        The photograph.
    pitch_um : float
        Distance of its lines, µm.

    Returns
    -------
    Scale

    Raises
    ------
    UnusableInput
        If the picture cannot be read or shows no ruling.
    """
    from edgetest.images import read_picture

    picture = read_picture(existing(path))
    try:
        return scale_from_ruling(
            picture.grey, pitch_um, um_per_px_in_file=picture.um_per_px_in_file
        )
    except UnusableInput as fault:
        raise UnusableInput(fault.what, f"{Path(path).name}, {fault.where}", fault.mend) from None


def existing(path):
    """The path, or an error that says it is not there."""
    path = Path(path)
    if not path.is_file():
        what = "is a folder, not a file" if path.is_dir() else "there is no such file"
        raise UnusableInput(what, str(path), "check the name")
    return path


def scale_of_rule(rule, folder) -> Scale:
    """The scale that a rule of study.toml describes; pictures are looked for in `folder`."""
    if rule.um_per_px is not None:
        return scale_from_number(rule.um_per_px, rule.relative_u)
    if rule.ruling is not None:
        return scale_of_ruling(Path(folder) / rule.ruling, rule.pitch_um)
    return scale_from_marks(rule.a_rc, rule.b_rc, rule.distance_um)


def scales_of_study(study):
    """Every scale of a study by name; the unnamed one is ""."""
    return {name: scale_of_rule(rule, study.folder) for name, rule in _rules(study).items()}


def tones_of_study(study):
    """The tone curve that each set-up's camera is known to store grey values on, by scale."""
    return {name: rule.tone for name, rule in _rules(study).items()}


def _rules(study):
    unnamed = {"": study.scale} if study.scale is not None else {}
    return {**study.scales, **unnamed}
