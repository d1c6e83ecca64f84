"""What a log answers, whichever kind of reading it holds: numbers, grades, pass and fail."""

from edgetest.study.wear.analysis import AS_THE_STUDY_SAYS, analyse, reading_of
from edgetest.study.wear.grading import analyse_grades, is_graded


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
    StudyResult or GradeResult

    Raises
    ------
    UnusableInput
        Where log or study have faults, or nothing can be fitted.
    """
    reading = options.reading or reading_of(source)
    if is_graded(source, reading):
        return analyse_grades(source, reading=reading, leaves=options.limit, level=options.level)
    return analyse(source, options, **more)


def curves_of(source, options=AS_THE_STUDY_SAYS, **more):
    """Lives of the blades of a source, not compared; else as `comparison_of`."""
    return comparison_of(source, options, compare=False, **more)
