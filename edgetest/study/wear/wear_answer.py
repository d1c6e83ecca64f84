"""What a log answers, whichever it holds: numbers, grades, pass and fail, noted lives."""

from edgetest.study.wear.analysis import AS_THE_STUDY_SAYS, analyse, reading_of
from edgetest.study.wear.grading import gives_lives
from edgetest.study.wear.lives_analysis import analyse_lives


def comparison_of(source, options=AS_THE_STUDY_SAYS, **more):
    """Lives of the blades of a source, and their heat treatments compared.

    Parameters
    ----------
    source : Source
    options : AnalysisOptions
        The limit of a graded reading is a grade.
    compare, workers, progress
        As for `edgetest.study.wear.analysis.analyse`.

    Returns
    -------
    StudyResult

    Raises
    ------
    UnusableInput
        Where log or study have faults, or nothing can be fitted.
    """
    reading = options.reading or reading_of(source)
    if gives_lives(source, reading):
        return analyse_lives(source, reading, options, compare=more.get("compare", True))
    return analyse(source, options, **more)


def curves_of(source, options=AS_THE_STUDY_SAYS, **more):
    """Lives of the blades of a source, not compared; else as `comparison_of`."""
    return comparison_of(source, options, compare=False, **more)
