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


def document_faults(study):
    """Faults of what a study wishes for its document, as its document refuses them."""
    if study is None:
        return ()
    try:
        mark_path(settings_of(study), study.folder)
    except ManyFaults as many:
        return many.faults
    except UnusableInput as fault:
        return (fault,)
    return ()
