"""Which pictures belong to a study's chop test: those that its chop log names."""

from edgetest.store.chop_log import read_chops
from edgetest.store.workspace import log_path


def pictures_of_chops(study):
    """Names, within `photos`, of the pictures that the rows of a study's chop log name.

    Parameters
    ----------
    study : Study

    Returns
    -------
    set of str
        Empty where the study has no chop log.

    Raises
    ------
    UnusableInput
        If the chop log is no table at all.
    """
    file = log_path(study.folder, "chops")
    return set() if file is None else {row.photo for row in read_chops(file, study).rows} - {""}
