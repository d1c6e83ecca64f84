"""Lives read from wear curves as the columns that a comparison takes, nothing of them lost."""

from math import inf, isfinite, log, nan

from edgetest.wear.compare.replicates import BladeLives

LEAST_LIFE = 1e-9  # cuts; stands for a least life of none, whose log would not be finite


def fitted_lives(lives, *, blade, treatment, batch=None, block=None):
    """Lives of one fit for `compare_lives`, with what they share.

    The part of the doubt that comes from the law's powers (`law_u`) is signed and shared by
    all blades, and so is the scale's (`shared_se`): a comparison without them would take what
    the blades have in common for chance, or leave it out.

    Parameters
    ----------
    lives : sequence of Life, length n
        Of `edgetest.wear.curve.study_curves.fit_study`, all of one fit. A life beyond reach
        enters as the least that it can be.
    blade, treatment : sequence of str, length n
    batch, block : sequence of str, length n, optional
        Blocks are left out where not every life has one; "" is a batch that is not noted.

    Returns
    -------
    BladeLives
    """
    low, high, se = zip(*map(_ends, lives), strict=True)
    return BladeLives(
        blade=list(blade),
        treatment=list(treatment),
        log_low=list(low),
        log_high=list(high),
        log_life_se=list(se),
        life_df=[life.df for life in lives],
        batch=None if batch is None else [each or "" for each in batch],
        block=_where_all(block),
        own_low=[_log(life.low) for life in lives],
        own_high=[_log(life.high) for life in lives],
        law_u=[life.log_life_law_u for life in lives],
        shared_se=lives[0].log_life_shared_u,
    )


def _ends(life):
    """Ends of a log life and its standard uncertainty; beyond reach the least that it can be."""
    if isfinite(life.cuts) and not life.beyond_reach:
        return life.log_life, life.log_life, life.log_life_se
    return _log(life.low), inf, nan


def _where_all(labels):
    """The labels where every life has one, else None."""
    return list(labels) if labels is not None and all(labels) else None


def _log(cuts):
    """Log of an end of a life; that of none stands for less than any life."""
    return log(max(cuts, LEAST_LIFE))
