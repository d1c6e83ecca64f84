"""Which jobs does a study hold, lives compared, a chopper, a steel, and what is the answer?"""

from dataclasses import replace

from edgetest.errors import UnusableInput
from edgetest.store.logs import Log

COMPARISON, CHOPPER, STEEL = JOBS = ("comparison", "chopper", "steel")


def jobs_of(source) -> tuple[str, ...]:
    """The jobs that a study holds something for, the one that it is mainly for first.

    Found steel comes first where the study judges one, then what its protocol logs. A study that
    holds nothing yet has the one job that its protocol is for.

    Parameters
    ----------
    source : Source
    """
    study, chops = source.study, source.chops
    held = {
        STEEL: bool(study and study.of_steel),
        COMPARISON: _filled(source.log),
        CHOPPER: _filled(chops) or bool(study and (study.handling or study.outline)),
    }
    for_chops = source.chop_test or bool(
        study and not study.of_steel and source.protocol.log == "chops"
    )
    rest = (CHOPPER, COMPARISON) if for_chops else (COMPARISON, CHOPPER)
    return tuple(job for job in (STEEL, *rest) if held[job]) or rest[:1]


def _filled(log) -> bool:
    """Whether somebody wrote into a log, well or ill."""
    return bool(log) and bool(log.faults or any(row.photo or not row.waiting for row in log.rows))


def job_asked(source, about=None) -> str:
    """The job that is asked about, or the study's main one.

    Raises
    ------
    UnusableInput
        For a job that the study holds nothing for.
    """
    held = jobs_of(source)
    if about is None or about in held:
        return about or held[0]
    if about not in JOBS:
        raise UnusableInput(f'"{about}" is no job', "about", f"choose {', '.join(JOBS)}")
    lacks = {
        COMPARISON: ("no reading of a cut blade", "enter readings into log.csv"),
        CHOPPER: ("no chopped piece and no shape of a tool", "enter pieces into chops.csv"),
        STEEL: ("no evidence of a steel", "write down what was seen of it (`edgetest enter "
                "STUDY --evidence pieces …`)"),
    }  # fmt: skip
    what, mend = lacks[about]
    raise UnusableInput(
        f"the study holds {what}", str(source.path), f"{mend}, or ask about {' or '.join(held)}"
    )


def answer_of(source, *, about=None, workers=2, progress=None, reckon=(), **question):
    """The answer of one of a study's jobs.

    Parameters
    ----------
    source : Source
    about : {"comparison", "chopper", "steel"}, optional
        Default: the study's main job.
    workers : int
        Processes that measure photographs.
    progress : callable, optional
        Takes how many are done, and of how many.
    reckon : sequence of str
        Of a chopper: other pieces, as `edgetest.study.chop.other_pieces.with_reckoned` takes them.
    **question
        What the job is asked: fields of `AnalysisOptions`, options of `analyse_chops`, or the
        `piece` of a steel.

    Returns
    -------
    StudyResult, ChopResult or SteelResult

    Raises
    ------
    UnusableInput
        Where nothing can be answered yet, with what would mend it.
    """
    about = job_asked(source, about)
    if about == CHOPPER:
        from edgetest.study.chop.chop_analysis import analyse_chops
        from edgetest.study.chop.other_pieces import with_reckoned

        alone = replace(source, log=Log(source.log.name, (), ()))
        return with_reckoned(analyse_chops(alone, **question), reckon)
    if about == STEEL:
        from edgetest.study.steel.judge_steel import judge_steel

        return judge_steel(source.path, workers=workers, progress=progress, **question)
    from edgetest.study.wear.analysis import AnalysisOptions
    from edgetest.study.wear.wear_answer import comparison_of

    return comparison_of(source, AnalysisOptions(**question), workers=workers, progress=progress)


def answers_of(source, *, workers=2, progress=None, **question):
    """The answers of all of a study's jobs, the main one first, for tables and figures.

    A steel's headline is not tried again under every number of its tables: none of them shows it.

    Parameters
    ----------
    source : Source
    workers, progress
        As in `answer_of`.
    **question
        What a wear test is asked: fields of `AnalysisOptions`.

    Returns
    -------
    answers : list of StudyResult, ChopResult or SteelResult
    unsaid : list of str
        Why one of the other jobs has no answer yet.

    Raises
    ------
    UnusableInput
        Where no job can be answered yet: of the main one.
    """
    found, faults = [], []
    for job in jobs_of(source):
        asked = {COMPARISON: question, STEEL: {"try_numbers": False}}.get(job, {})
        try:
            found.append(answer_of(source, about=job, workers=workers, progress=progress, **asked))
        except UnusableInput as fault:
            faults.append(fault)
    if not found:
        raise faults[0]
    return found, [str(fault) for fault in faults]
