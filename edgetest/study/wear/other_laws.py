"""Where the readings bend otherwise than their law: is there a law that they follow?"""

from dataclasses import replace

from edgetest.study.wear.expected_without import MANY_BLADES
from edgetest.study.words import listed
from edgetest.wear.curve.curve_doubts import law_misfits, options_of, other_laws


def fit_told_of_laws(fit, columns, how, fits):
    """The fit, the doubt about its law with the laws that the readings follow.

    Parameters
    ----------
    fit : StudyFit
        Of `columns` by `how`.
    columns : WearReadings
    how : FitOptions
    fits : Fits
        Of these readings.

    Returns
    -------
    StudyFit
        As it was where the law fits, or where there are so many blades that no other is tried.
    """
    if not _misfits(fit) or len(fit.blades) > MANY_BLADES:
        return fit
    laws = other_laws(how.law)
    better = [
        name for name in laws
        if not _misfits(fits.of(columns, replace(how, law=name, power=None)))
    ]  # fmt: skip
    told = law_misfits(_words(laws, better))

    def anew(doubts):
        return tuple(told if one.code == told.code else one for one in doubts)

    blades = tuple(replace(one, study_doubts=anew(one.study_doubts)) for one in fit.blades)
    return replace(fit, doubts=anew(fit.doubts), blades=blades)


def laws_told(laws, fit, columns, how, fits):
    """The ranked laws, each with whether the readings bend otherwise than it.

    Parameters
    ----------
    laws : sequence of LawScore
    fit, columns, how, fits
        As for `fit_told_of_laws`, by which the other laws were tried.

    Returns
    -------
    tuple of LawScore
        Another law is asked only where the one used misfits. A power that is held fits no better
        than one that is free: it misfits where that does, and is else not asked.
    """
    misfits = {how.law: _misfits(fit)}
    if misfits[how.law] and len(fit.blades) <= MANY_BLADES:
        for name in {score.form for score in laws} - {how.law}:
            misfits[name] = _misfits(fits.of(columns, replace(how, law=name, power=None)))
    return tuple(replace(score, misfits=_of_score(score, misfits, how)) for score in laws)


def _of_score(score, misfits, how):
    """Whether the readings bend otherwise than a ranked law; None where that is not known."""
    found = misfits.get(score.form)
    if score.form == how.law and how.power is not None:  # it was held, at one power or another
        return found if score.power == how.power else None
    held = score.power is not None and "shared" not in score.law
    return None if held and found is False else found


def _misfits(fit):
    return any(one.code == "law_misfits" for one in fit.doubts)


def _words(laws, better):
    """What is said of the other laws."""
    if not better:
        return f"Nor do they follow {_title(laws)}."
    shows = "show" if len(better) > 1 else "shows"
    return f"Try {_title(better)}, which {shows} no such stretch ({options_of(better)})."


def _title(laws):
    """Laws in a sentence: "the law saturating"."""
    names = listed(name.replace("_", " ") for name in laws)
    return f"the law{'s' if len(laws) > 1 else ''} {names}"
