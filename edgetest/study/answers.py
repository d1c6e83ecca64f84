"""Which answer does a study ask for: lives compared, a chopper's figures, a steel's verdict?"""

from edgetest.study.overview import steel_alone


def answer_of(source, *, workers=2, progress=None, **question):
    """The answer that a study's own rows ask for.

    Parameters
    ----------
    source : Source
    workers : int
        Processes that measure photographs.
    progress : callable, optional
        Takes how many are done, and of how many.
    **question
        What a wear test is asked: fields of `AnalysisOptions`.

    Returns
    -------
    StudyResult, ChopResult or SteelResult

    Raises
    ------
    UnusableInput
        Where nothing can be answered yet, with what would mend it.
    """
    if source.chop_test:
        from edgetest.study.chop.chop_analysis import analyse_chops

        return analyse_chops(source)
    if steel_alone(source):
        from edgetest.study.steel.judge_steel import judge_steel

        return judge_steel(source.path, workers=workers, progress=progress)
    from edgetest.study.wear.analysis import AnalysisOptions
    from edgetest.study.wear.wear_answer import comparison_of

    return comparison_of(source, AnalysisOptions(**question), workers=workers, progress=progress)
