"""Which runs of a study are compared: their blades, heat treatments, batches and blocks."""

from dataclasses import dataclass, replace

from edgetest.study.bench.blinding import is_sealed

# A ratio of codes, seen before the last cut, would guide the hand that a blind test leaves alone.
SEALED = (
    "the names are sealed, and a blind test is compared after its last reading; then "
    "`edgetest unseal`"
)


class NoComparison(Exception):  # noqa: N818 - a finding about the study, told as a doubt
    """Why the runs of a study cannot be compared, in words."""


@dataclass(frozen=True)
class Runs:
    """Runs by name, each with its facts; `control` is the control blade, None without one."""

    blade: dict[str, str]
    treatment: dict[str, str]
    batch: dict[str, str | None]
    block: dict[str, str]
    control: str | None = None

    @property
    def names(self):
        """The runs in the order of the log."""
        return tuple(self.blade)

    @property
    def of_control(self):
        """Runs of the control blade."""
        return {run for run, blade in self.blade.items() if blade == self.control}

    def sides(self, runs):
        """Heat treatments of some runs, the control blade's left out."""
        return [self.treatment[run] for run in runs if run not in self.of_control]

    def columns(self, runs):
        """Blade, heat treatment, batch and block of some runs, as `BladeLives` takes them.

        Blocks are left out where not every run has one; a batch that is not noted is "".
        """
        block = [self.block[run] for run in runs]
        return {
            "blade": [self.blade[run] for run in runs],
            "treatment": [self.treatment[run] for run in runs],
            "batch": [self.batch[run] or "" for run in runs],
            "block": block if all(block) else None,
        }

    def control_among(self, runs, options):
        """The options for these runs: without the control blade where it is not among them."""
        here = any(self.blade[run] == self.control for run in runs)
        return replace(options, control=self.control if here else None)


def compared_runs(source, used, control):
    """The runs of the readings that count, with the facts of study or log.

    Parameters
    ----------
    source : Source
    used : sequence of UsedReading
    control : str or None

    Returns
    -------
    Runs

    Raises
    ------
    NoComparison
        Where the names are sealed, a blade has no heat treatment while others have, or all have
        the same.
    """
    facts = {each.run: each for each in used}
    study = source.study
    if is_sealed(study):
        raise NoComparison(SEALED)
    batches = {blade.id: blade.batch for blade in study.blades} if study else {}
    named = any(each.heat_treatment for each in facts.values())
    runs = Runs(
        blade={run: fact.blade for run, fact in facts.items()},
        treatment={r: f.heat_treatment if named else f.blade for r, f in facts.items()},
        batch={run: batches.get(fact.blade) for run, fact in facts.items()},
        block={run: fact.block for run, fact in facts.items()},
        control=control,
    )
    two_treatments(
        {runs.blade[r]: t for r, t in runs.treatment.items() if r not in runs.of_control}
    )
    return runs


def two_treatments(treatment_of):
    """Refuse blades without a heat treatment, and a single heat treatment.

    Raises
    ------
    NoComparison
    """
    bare = sorted(blade for blade, treatment in treatment_of.items() if not treatment)
    if bare:
        raise NoComparison(
            f"no heat treatment is named for {', '.join(bare)}; name it, or say which blade is "
            "the control"
        )
    if len(set(treatment_of.values())) < 2:
        raise NoComparison(
            "all blades have one heat treatment; test blades of a second one (two steels: one heat "
            "treatment each, with an id of its own and the same steps)"
        )
