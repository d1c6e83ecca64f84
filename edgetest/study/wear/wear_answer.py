"""What a log answers, whichever it holds: numbers, grades, pass and fail, noted lives."""

from edgetest.study.wear.analysis import AS_THE_STUDY_SAYS, analyse, reading_of
from edgetest.study.wear.beside import with_beside
from edgetest.study.wear.ended_looks import as_the_look_left_it
from edgetest.study.wear.grading import gives_lives
from edgetest.study.wear.lives_analysis import analyse_lives
from edgetest.study.wear.unsettled_looks import with_look_unsettled


def comparison_of(source, options=AS_THE_STUDY_SAYS, **more):
    """Lives of the blades of a source, and their heat treatments compared.

    Of a test that a look ended it is the answer of that look.

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
    compare = more.get("compare", True)

    def answered(rows):
        reading = options.reading or reading_of(rows)
        if gives_lives(rows, reading):
            found = analyse_lives(rows, reading, options, compare=compare)
        else:
            found = analyse(rows, options, **more)
        return with_look_unsettled(with_beside(rows, found, options), rows)

    return as_the_look_left_it(source, answered) if compare else answered(source)


def curves_of(source, options=AS_THE_STUDY_SAYS, **more):
    """Lives of the blades of a source, not compared; else as `comparison_of`."""
    return comparison_of(source, options, compare=False, **more)
