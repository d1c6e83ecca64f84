"""What does a study wish for its document: the `[document]` section of study.toml."""

from pathlib import Path

from edgetest.errors import ManyFaults, UnusableInput
from edgetest.store.checking import validate
from edgetest.store.records import Study
from edgetest.store.study_sections import Settings

MARK_KINDS = (".png", ".jpg", ".jpeg", ".svg")


def settings_of(study):
    """The study's wishes for its document; every fault names the key."""
    return validate(Settings, dict(study.document or {}), "study.toml, document", root=Study)


def mark_path(settings, folder):
    """The picture that is the maker's mark; None where none is wished.

    Raises
    ------
    UnusableInput
        If it is no picture, or is not there.
    """
    if not settings.mark:
        return None
    path = Path(folder) / settings.mark
    where = "study.toml, document, mark"
    if path.suffix.lower() not in MARK_KINDS:
        raise UnusableInput(
            f'"{settings.mark}" is not a picture', where, f"save it as {' or '.join(MARK_KINDS)}"
        )
    if not path.is_file():
        raise UnusableInput(f'there is no "{settings.mark}"', where, "put it in the study's folder")
    return path


def wished_pictures(settings, folder):
    """The pictures that the document is to show, each once, by their names in `photos`.

    Parameters
    ----------
    settings : Settings
    folder : path-like
        The study's. A picture lies in its folder `photos`, or in itself.

    Returns
    -------
    dict of str to Path

    Raises
    ------
    UnusableInput
        Naming the first one that is not there, or lies outside of the study.
    """
    root, found = Path(folder).resolve(), {}
    for name in settings.photographs:
        places = [root / "photos" / name, root / name]
        there = [one for one in places if one.is_file() and one.resolve().is_relative_to(root)]
        if not there:
            raise UnusableInput(
                f'there is no "{name}"', "study.toml, document, photographs",
                "put it into the study's folder photos, or take the name out",
            )  # fmt: skip
        place = there[0].relative_to(root)  # a photograph goes by the name that the log has for it
        found["/".join(place.parts[place.parts[0] == "photos" :])] = there[0]
    return found


def document_faults(study):
    """Faults of what a study wishes for its document, as its document refuses them."""
    if study is None:
        return ()
    try:
        settings = settings_of(study)
    except ManyFaults as many:
        return many.faults
    faults = []
    for look_for in (mark_path, wished_pictures):
        try:
            look_for(settings, study.folder)
        except UnusableInput as fault:
            faults.append(fault)
    return tuple(faults)
