"""A study's plan as a result: blades needed, stages, order of runs, and what is assumed in it."""

from collections import Counter
from collections.abc import Mapping
from dataclasses import dataclass, field
from pathlib import Path

from edgetest.doubts import GRAVITIES, Doubt, told
from edgetest.study.wear.begun_order import ON_RECORD
from edgetest.study.wear.expectations import Believed
from edgetest.study.words import counted
from edgetest.wear.compare.shop_history import ShopHistory
from edgetest.wear.plan.design_result import StudyPlan
from edgetest.wear.plan.looks_plan import LooksPlanned
from edgetest.wear.plan.shop_chances import ShopChance
from edgetest.wear.plan.stage_schedule import Schedule

NOT_NAMED = "not named"
GRAVEST, *_ = GRAVITIES
SCATTER_ASSUMED = ("scatter_assumed", "scatter_of_log_not_named")  # codes that say so


@dataclass(frozen=True)
class Plan:
    """A study's plan: blades needed, stages, order of runs.

    `schedule` and `believed` are None in a chop test, whose `work` says what each blade does;
    `schedule` also where the log reads checks, or every single cut.
    """

    title: str
    need: StudyPlan
    runs: tuple
    seed: int | None  # None where the order is under seal
    history: ShopHistory | None
    readings_before: float  # what of the earlier studies' scatter was their readings'
    doubts: tuple[Doubt, ...]
    schedule: Schedule | None = None
    believed: Believed | None = None
    work: str = ""
    looks: LooksPlanned | None = None
    looks_stay: str = ""  # that looks fixed before stay, where this plan asks for none
    shop: ShopChance | None = None  # what it buys, differences being as the shop's studies say
    files: tuple[Path, ...] = ()
    own_protocol: str = ""  # the file of a protocol of the study's own
    names: Mapping[str, str] = field(default_factory=dict)  # blades with their titles, by id
    begun: Mapping = field(default_factory=dict)  # cuts made by the runs of a wear test's log
    left: tuple | None = None  # runs of a chop test under way that are still to come
    progress: str = ""  # how far that test is

    def to_dict(self):
        """Plain values for JSON."""
        one = self.believed
        return {
            "title": self.title,
            **self.need.to_dict(),
            "sd_assumed": self.sd_assumed,
            "reading": one.reading if one else None,
            "unit": one.unit if one else None,
            "life": one.life if one else None,
            "fresh": one.fresh if one else None,
            "reading_cv": one.reading_cv if one else None,
            "reading_cv_from": one.reading_cv_from if one else None,
            "work": self.work or None,
            "history": self.history.to_dict() if self.history else None,
            "shop": self.shop.to_dict() if self.shop else None,
            "readings_in_history": self.readings_before if self.history else None,
            "looks": self.looks.to_dict() if self.looks else None,
            "schedule": self.schedule.to_dict() if self.schedule else None,
            "runs": _plain(self.runs),
            "left": _plain(self.left),
            "seed": self.seed,
            "doubts": told(self.doubts)["doubts"],
            "files": [str(path) for path in self.files],
        }

    @property
    def sd_assumed(self):
        """Whether nobody has said or measured how blades scatter."""
        return any(one.code in SCATTER_ASSUMED for one in self.doubts)

    def to_frame(self):
        """One row a run, in the order in which they are cut.

        Returns
        -------
        pandas.DataFrame
        """
        import pandas as pd

        return pd.DataFrame([run.to_dict() for run in self.runs])

    def basis(self):
        """What the plan rests on, a sentence each: history, readings, work, stages."""
        if self.history:
            yield self.history.summary()
            if self.history.batches and self.need.sd_batches:
                yield self.history.batches.summary()
            if self.readings_before > 0:
                yield (
                    "The readings alone made the earlier lives scatter by about "
                    f"{100 * self.readings_before:.2g} %. That is taken out here, and what this "
                    "plan's own readings add is put in."
                )
        if self.shop:
            yield from self.shop.sentences(self._told_blades())
        one = self.believed
        if one and one.reading_cv is not None and one.reading_cv_from != "assumed":
            cv = f"{100 * one.reading_cv:.2g} %"
            given = one.reading_cv_from == "given"
            how = f"taken to be good to {cv}, as given" if given else f"good to {cv}, by "
            yield f"One reading is {how}{'' if given else one.reading_cv_from}."
        yield from filter(None, (self._life_words(), self.work, self.progress, self.looks_stay))

    def _life_words(self):
        """How long a blade is thought to last, where nobody said; else ""."""
        one = self.believed
        if one is None or self.schedule is None or not (one.life_assumed or one.lasted):
            return ""
        thought = f"A blade is thought to last {one.life:.0f} cuts, "
        if one.lasted:
            typed = " by readings that were typed: none is taken from a photograph here"
            return (
                f"{thought}as the {one.lasted.blades} blades of this log did whose lives are known "
                f"(geometric mean){typed * one.lasted.beside_photos}."
            )
        return f"{thought}two thirds of the last stage: nobody said how long (--life)."

    def foremost(self):
        """What is to be read before any number: its gravest doubts."""
        return [one.text for one in self.doubts if one.gravity == GRAVEST]

    def less_grave(self):
        """The sentences of its other doubts."""
        return [one.text for one in self.doubts if one.gravity != GRAVEST]

    def _told_blades(self):
        """Numbers of blades whose worth is told: the least, what is needed, and the most."""
        numbers = self.need.curve.blades
        wanted = self.need.chosen.blades
        near = min(numbers, key=lambda n: abs(n - wanted)) if wanted else numbers[-1]
        return sorted({numbers[0], near, numbers[-1]})

    def stages(self):
        """When to stop and read, and how much is cut; "" where there is nothing to choose."""
        if self.schedule is not None:
            when, cuts = self._when_to_stop(self.schedule), self._cuts(self.schedule)
        elif self.checks:
            when, cuts = self._when_to_check(), self.checks
        else:
            return ""
        told = (when, self._medium_used(int(cuts[-1])), self._time_taken(len(cuts)), ON_RECORD)
        return " ".join(filter(None, told))

    @property
    def checks(self):
        """The stages of grades, or of pass and fail; () of a curve, and of lives that are noted."""
        if self.believed is None or self.schedule is not None:
            return ()
        return tuple(self.believed.expected.seen.checks)

    @staticmethod
    def _cuts(schedule):
        """The stages of the bench: its own, else those planned."""
        return schedule.own_cuts or schedule.cuts

    def _when_to_check(self):
        """The stages at which a grade is checked, whose they are, and what the chance omits."""
        stages = ", ".join(f"{cut:g}" for cut in self.checks)
        told = (
            f"Cut to {self.checks[-1]:g}: stop and check at {stages} cuts. They are those of "
            f"{'your' if self.own_protocol else 'the'} protocol. A blade is done once it is past "
            "its limit, so what follows is the most. The chance counts no grade that "
            "comes back: such a life is less well known."
        )
        if self.own_protocol:
            return told
        return (
            f"{told} Closer stages make each life better known. To cut at others, copy the "
            "protocol with `edgetest protocols NAME --to my_test.toml`, in the study's folder, and "
            "write them into it."
        )

    def _not_begun(self):
        """The runs that are still to be cut."""
        return [run for run in self.runs if (run.block, run.blade) not in self.begun]

    def _medium_used(self, last):
        """How many cuts the runs make up to the bench's last stage, and what medium they take."""
        left = self._not_begun()
        if not left:
            return ""
        due = ((run.block, run.blade) for run in self.runs)
        more = {run: int(last - self.begun[run]) for run in due if self.begun.get(run, last) < last}
        on_block = Counter({block: 0 for block, _ in more})
        for block, cuts in [*((run.block, last) for run in left),
                            *((block, cuts) for (block, _), cuts in more.items())]:  # fmt: skip
            on_block[block] += cuts
        on_one, cuts = max(on_block.values()), on_block.total()
        there = f" ({on_one:,} on one of the blocks)" if on_one < cuts else ""
        length = f"{cuts / 100:g} m" + (f" ({on_one / 100:g} m)" if there else "")
        rest = sum(more.values())
        of_begun = f", and {counted(len(more), 'run')} begun up to {rest:,} more" if more else ""
        return (
            f"To {last} cuts the {counted(len(left), 'run')}{' not begun yet' * bool(self.begun)} "
            f"{'makes' if len(left) == 1 else 'make'} {len(left) * last:,} cuts{of_begun}{there}: "
            f"for each cm of rope, card or cord that a cut uses up, have {length} ready."
        )

    def _time_taken(self, stages):
        """How often the bench stops to read, and how long that is; nobody noted one stop's time."""
        left = len(self._not_begun())
        stops = left * stages
        if not stops:
            return ""
        ready = f"{stops} minutes" if stops < 90 else f"{stops / 60:.2g} hours"
        return (
            f"{'It stops' if left == 1 else 'They stop'} {stops} times to be read: for each minute "
            f"from one stop to the next, cutting and reading, have {ready} ready. Time a few stops "
            "to know it."
        )

    def _when_to_stop(self, schedule):
        """The stages, and which of them stay in force."""
        if tuple(schedule.own_cuts) == tuple(schedule.cuts):
            return f"{schedule.summary()} They are those of your protocol."
        if self.own_protocol:
            return (
                f"{schedule.summary()} Those of {self.own_protocol} stay in force: change "
                "them there or on the page Protocols, or keep them."
            )
        planned = schedule.summary()
        return (
            "Cut at the protocol's own stages: the bench sheet and the log keep them. Others would "
            f"serve this test better: {planned[:1].lower()}{planned[1:]} To cut at these instead, "
            "copy the protocol with "
            "`edgetest protocols NAME "
            "--to my_test.toml`, in the study's folder, and write them into it."
        )

    def summary(self):
        """The plan as a maker reads it out."""
        told_apart = getattr(self.need, "sentences", None)
        numbers = told_apart() if told_apart else [self.need.summary()]
        lines = [*self.foremost(), *numbers, *self.basis(), *self.less_grave()]
        lines += [self.looks.summary()] if self.looks else []
        lines += [self.stages()] if self.schedule or self.checks else []
        for block in dict.fromkeys(run.block for run in self.runs):
            blades = [self.names.get(run.blade, run.blade) for run in self.runs
                      if run.block == block]  # fmt: skip
            between = "; " if any("," in name for name in blades) else ", "
            lines.append(f"{block}: {between.join(blades)}")
        lines += [f"  {path}" for path in self.files]
        return "\n".join(lines)


def _plain(runs):
    """Runs as plain values; None where there are none to tell."""
    return None if runs is None else [run.to_dict() for run in runs]
