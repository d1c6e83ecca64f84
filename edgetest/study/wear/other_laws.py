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
    doubts = (told if one.code == told.code else one for one in fit.doubts)
    return replace(fit, doubts=tuple(doubts))


def _misfits(fit):
    return any(one.code == "law_misfits" for one in fit.doubts)


def _words(laws, better):
    """What is said of the other laws."""
    if not better:
        return f"The readings bend otherwise than {_title(laws)} too."
    shows = "show" if len(better) > 1 else "shows"
    return f"Try {_title(better)}, which {shows} no such stretch ({options_of(better)})."


def _title(laws):
    """Laws in a sentence: "the law saturating"."""
    names = listed(name.replace("_", " ") for name in laws)
    return f"the law{'s' if len(laws) > 1 else ''} {names}"
