"""Has a study its run order yet, and how is it drawn or kept as listed?"""

from edgetest.store.workspace import change_study
from edgetest.study.bench.session_file import SESSION_FILE


def needs_order(source):
    """Whether a study has no run order yet and nothing has been cut or read."""
    return (
        source.protocol.log == "log"
        and not source.study.plan
        and all(row.waiting for row in source.log.rows)
        and not (source.path / SESSION_FILE).is_file()
    )


def draw_order(source, blocks, *, seed, blinded):
    """Draw the random run order and the codes, and write them into the study.

    Parameters
    ----------
    source : Source
    blocks : sequence of str
        Rolls, boards or days, in the order in which they come.
    seed : int
        The same seed gives the same order.
    blinded : bool
        The bench shows codes instead of names.
    """
    from edgetest.study.wear.planning import PlanOptions, drawn_order
    from edgetest.study.wear.saved_plan import save_plan

    drawn, key = drawn_order(source.study, PlanOptions(blocks=blocks, seed=seed))
    save_plan(source, drawn, key, blinded=blinded)


def keep_order(source):
    """Begin with the blades in the order in which the study lists them."""
    order = [["", blade.id] for blade in source.study.blades]
    change_study(source.path, lambda now: now.model_copy(update={"plan": {"order": order}}))
