"""What another reading of the same log says of the heat treatments, beside the one asked for."""

from dataclasses import dataclass, replace

from edgetest.doubts import doubt
from edgetest.errors import UnusableInput
from edgetest.store.logs import LIFE
from edgetest.study.wear.alternative_answers import Finding, finding_of
from edgetest.study.wear.analysis import analyse
from edgetest.study.wear.grading import gives_lives, grade_taken, ladder_of
from edgetest.study.wear.group_titles import titles_of
from edgetest.study.wear.lives_analysis import analyse_lives
from edgetest.study.words import name_of_reading
from edgetest.wear.compare.comparison_result import Comparison

LONGER, SHORTER = "longer", "shorter"


@dataclass(frozen=True)
class Beside:
    """The comparison by another reading, and whether the two agree.

    They agree where neither contradicts the other's verdict and their intervals overlap.
    """

    reading: str
    comparison: Comparison
    agrees: bool

    def to_dict(self):
        """Plain values for JSON."""
        return {
            "reading": self.reading,
            "agrees": self.agrees,
            "ratio": self.comparison.ratio.to_dict(),
            "verdict": self.comparison.practical.verdict,
            "first": self.comparison.first,
            "second": self.comparison.second,
        }


def with_beside(source, result, options):
    """The result with what the other kind of reading in its log says: grades, or numbers.

    Parameters
    ----------
    source : Source
    result : StudyResult
        With a comparison, else nothing is asked of another reading.
    options : AnalysisOptions
        As they were asked.

    Returns
    -------
    StudyResult
        With `beside` and the doubt that tells of it, where the other reading can be compared.
    """
    given = result.comparison and finding_of(result.comparison)
    if given is None or result.comparison.scope == "blades":
        return result
    for reading in source.log.reading_names:
        if gives_lives(source, reading) == (not result.has_curves) or reading == result.reading:
            continue
        if not any(reading in row.readings for row in source.log.rows if not row.exclude):
            continue  # a column that nobody filled
        other = _other(source, reading, options)
        if other is None and (grades := _grades_to_choose(source, reading)):
            unasked = doubt(
                "grades_not_asked", reading=_words(reading), column=reading, grades=grades
            )
            result = replace(result, study_doubts=(*result.study_doubts, unasked))
        found = other and finding_of(other, given.first, given.second)
        if found is None or other.scope == "blades":
            continue
        agrees = _agree(given, found)
        told = _told(source, result, reading, found, agrees)
        return replace(
            result,
            beside=Beside(reading, other, agrees),
            study_doubts=(*result.study_doubts, told),
        )
    return result


def _other(source, reading, options):
    """The comparison by another reading, to the limit that the protocol has for it, if any."""
    limit = source.protocol.limit if source.protocol else None
    value = limit.value if limit is not None and limit.reading == reading else None
    options = replace(options, reading=reading, limit=value, power=None, robust=False, also=())
    try:
        if gives_lives(source, reading):
            return analyse_lives(source, reading, options).comparison
        if any(row.photo for row in source.log.rows):
            return None  # photographs are measured where they are asked for
        return analyse(source, options).comparison
    except UnusableInput:  # no limit, or nothing to fit: there is no second answer
        return None


def _grades_to_choose(source, reading):
    """The grades that may end a life where nothing says which does; "" where there is no choice."""
    if not gives_lives(source, reading) or reading == LIFE:
        return ""
    try:
        ladder = ladder_of(source, reading)
    except UnusableInput:  # grades that no protocol has put in order
        return ""
    try:
        grade_taken(source, reading)
    except UnusableInput:
        return ", ".join(f"'{grade}'" for grade in ladder[:-1])
    return ""


def _agree(given, found):
    """Whether two findings of the same heat treatments can be true together."""
    if {given.verdict, found.verdict} == {LONGER, SHORTER}:
        return False
    return max(given.ratio.low, found.ratio.low) <= min(given.ratio.high, found.ratio.high)


def _told(source, result, reading, found: Finding, agrees):
    """What the other reading says, as a sentence that goes where doubts go."""
    titles = titles_of(source.study)
    names = {name: titles.get(getattr(found, name), getattr(found, name))
             for name in ("first", "second")}  # fmt: skip
    words = [_words(name) for name in (reading, result.reading)]
    code = "readings_agree" if agrees else "readings_disagree"
    said = replace(found, **names).summary()
    return doubt(code, other=words[0], given=words[1], said=said)


def _words(reading):
    """A reading's column in words, without its unit."""
    return name_of_reading(reading).replace("pass fail", "pass and fail")
