"""Which study is a copy of another, so that its blades count once?"""

from collections.abc import Iterable

from edgetest.study.shop.study_lives import StudyLives


def copied_studies(studies: Iterable[StudyLives], own: str = "") -> dict[str, str]:
    """The studies whose readings stand in another one, each with the name of that.

    A copy, and one in which some rows were changed to try what they do, is known by its blades and
    their readings: half of its runs, or more, are those of the other. That with the most runs is
    kept, of equal ones the first.

    Parameters
    ----------
    studies : iterable of StudyLives
    own : str
        Name of the one that is kept whatever the others are.

    Returns
    -------
    dict of str to str
    """
    copies: dict[str, str] = {}
    kept: list[tuple[str, set[str]]] = []
    for study in sorted(studies, key=lambda each: (each.name != own, -len(each.runs))):
        marks = {run.read for run in study.runs} - {""}
        half = max(len(marks), 1) / 2
        first = next((name for name, theirs in kept if len(theirs & marks) >= half), None)
        if first is None:
            kept.append((study.name, marks))
        else:
            copies[study.name] = first
    return copies
