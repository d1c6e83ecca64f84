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
        Left out where not every life has one.

    Returns
    -------
    BladeLives
    """
    ends = [isfinite(life.cuts) and not life.beyond_reach for life in lives]
    both = list(zip(lives, ends, strict=True))
    least = [life.log_life if end else log(max(life.low, LEAST_LIFE)) for life, end in both]
    return BladeLives(
        blade=list(blade),
        treatment=list(treatment),
        log_low=least,
        log_high=[low if end else inf for low, end in zip(least, ends, strict=True)],
        log_life_se=[life.log_life_se if end else nan for life, end in both],
        batch=list(batch) if batch is not None and all(batch) else None,
        block=list(block) if block is not None and all(block) else None,
        law_u=[life.log_life_law_u for life in lives],
        shared_se=lives[0].log_life_shared_u,
    )
