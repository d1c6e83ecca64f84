"""Grades, pass and fail: which readings they are, in which order, and whose leaving ends a life."""

from edgetest.doubts import doubt
from edgetest.errors import UnusableInput
from edgetest.store.logs import LIFE, PASS_FAIL


def gives_lives(source, reading):
    """Whether a reading gives lives without a wear curve: a grade, pass or fail, a noted life."""
    if reading == LIFE:
        return True
    if source.protocol is not None:
        kinds = {rule.name: rule.kind for rule in source.protocol.readings}
        return kinds.get(reading, "number") != "number"
    return reading in ("grade", "pass_fail")


def ladder_of(source, reading):
    """The grades of a reading from sharpest to dullest.

    Raises
    ------
    UnusableInput
        For grades of a log that no protocol orders.
    """
    if source.protocol is not None and source.protocol.reading(reading).kind == "grade":
        return source.protocol.ladder
    if reading == "grade":
        raise UnusableInput(
            "grades on their own are in no order",
            where=source.log.name,
            mend="make a study with a protocol that has a ladder (`edgetest new`)",
        )
    return PASS_FAIL


def grade_taken(source, reading, asked=None):
    """The grade whose leaving ends a life, and the doubt that says who chose it.

    Parameters
    ----------
    source : Source
    reading : str
        A graded reading.
    asked : str, optional
        What was asked for; default: what study or protocol say. Of two grades it is the first.

    Returns
    -------
    (str, tuple of Doubt)

    Raises
    ------
    UnusableInput
        Where nothing says it, and the ladder has more than two grades.
    """
    ladder, study = ladder_of(source, reading), source.study
    if asked is not None:
        return str(asked), ()
    if len(ladder) == 2:
        return ladder[0], ()
    limit = study.limit_value if study is not None and study.reading_name == reading else None
    if limit not in ladder:
        choices = ", ".join(f'"{grade}"' for grade in ladder[:-1])
        raise UnusableInput(
            "nothing says which grade ends a blade's life once it is lost",
            where=f"{source.title}, limit",
            mend=f"name it (--limit, or limit in study.toml): one of {choices}",
        )
    said = "the study's limit" if study.limit is not None else "the protocol's limit"
    return limit, (doubt("grade_taken", grade=limit, why=said),)


def ladder_by(protocol, rule):
    """The grades of a protocol's reading from sharpest to dullest; () of numbers, or of none."""
    if rule is None or rule.kind == "number":
        return ()
    return tuple(protocol.ladder) if rule.kind == "grade" else PASS_FAIL


def below_the_grade(met, ladder, limit):
    """Whether every one of a stage's checks failed: the life that a grade ends is over there.

    Parameters
    ----------
    met : sequence of str
        Grades met; "" where the check was not made.
    ladder : sequence of str
    limit : str or None
        The grade whose leaving ends a life; of two grades it is the first.
    """
    limit = ladder[0] if limit is None and len(ladder) == 2 else limit
    checks = [ladder.index(grade) for grade in met if grade in ladder]
    return limit in ladder and bool(checks) and min(checks) > ladder.index(limit)
