"""Has a study its run order yet, and how is it drawn or kept as listed?"""

from collections import Counter

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


def draw_order(source, blocks, *, seed, word=None):
    """Draw the random run order, and write it into the study.

    Parameters
    ----------
    source : Source
    blocks : sequence of str
        Rolls, boards or days, in the order in which they come.
    seed : int
        The same seed gives the same order; it does not count where names are sealed.
    word : str, optional
        Seals the blades' names, codes in their place.
    """
    from edgetest.study.bench.sealing import seal_names, secret_seed
    from edgetest.study.wear.plan_options import PlanOptions
    from edgetest.study.wear.planning import drawn_order
    from edgetest.study.wear.saved_plan import save_plan

    if word is None:
        save_plan(source, drawn_order(source.study, PlanOptions(blocks=blocks, seed=seed)))
        return
    drawn = drawn_order(source.study, PlanOptions(blocks=blocks, seed=secret_seed()))
    seal_names(source, drawn, word)


def keep_order(source):
    """Begin with the blades in the order in which the study lists them."""
    order = [["", blade.id] for blade in source.study.blades]
    change_study(source.path, lambda now: now.model_copy(update={"plan": {"order": order}}))


def kept_order(study):
    """The order that a study's plan holds, for its bench sheet.

    Returns
    -------
    RunOrder
        Heat treatments are not told; `seed` is None where nobody is to draw the order again.
    """
    from edgetest.study.wear.planning import RunOrder
    from edgetest.wear.plan.run_order import Run

    plan = study.plan or {}
    turns: Counter = Counter()
    runs = []
    for block, blade in plan.get("order", ()):
        turns[block] += 1
        runs.append(Run(str(block), turns[block], str(blade), "sealed"))
    return RunOrder(tuple(runs), plan.get("seed"))
