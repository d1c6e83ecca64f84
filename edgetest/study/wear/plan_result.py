"""A study's plan as a result: blades needed, stages, order of runs, and what is assumed in it."""

from dataclasses import dataclass
from pathlib import Path

from edgetest.doubts import Doubt, doubt, told
from edgetest.wear.compare.shop_history import ShopHistory
from edgetest.wear.plan.stage_schedule import Schedule
from edgetest.wear.plan.study_design import StudyPlan

NOT_NAMED = "not named"


@dataclass(frozen=True)
class Plan:
    """A study's plan: blades needed, stages, order of runs, codes."""

    title: str
    need: StudyPlan
    schedule: Schedule
    runs: tuple
    codes: dict[str, str]
    fingerprint: str
    seed: int
    history: ShopHistory | None
    sd_assumed: bool
    reading_cv: float
    reading_cv_from: str  # "given", "assumed", or what the repeatability rests on
    files: tuple[Path, ...] = ()

    @property
    def unnamed(self):
        """Whether a blade has no heat treatment to balance the order by."""
        return any(run.treatment == NOT_NAMED for run in self.runs)

    @property
    def doubts(self) -> tuple[Doubt, ...]:
        """What the plan rests on that nobody has measured or named."""
        scatter, cv = f"{100 * self.need.sd_blades:.0f} %", f"{100 * self.reading_cv:.2g} %"
        found = [doubt("scatter_assumed", scatter=scatter)] if self.sd_assumed else []
        found += [doubt("reading_assumed", cv=cv)] if self.reading_cv_from == "assumed" else []
        return (*found, *([doubt("treatments_not_named")] if self.unnamed else []))

    def to_dict(self):
        """Plain values for JSON; the codes are in the sealed key, not here."""
        return {
            "title": self.title,
            **self.need.to_dict(),
            "sd_assumed": self.sd_assumed,
            "reading_cv": self.reading_cv,
            "reading_cv_from": self.reading_cv_from,
            "history": self.history.to_dict() if self.history else None,
            "schedule": self.schedule.to_dict(),
            "runs": [run.to_dict() for run in self.runs],
            "fingerprint": self.fingerprint,
            "seed": self.seed,
            "doubts": told(self.doubts)["doubts"],
            "files": [str(path) for path in self.files],
        }

    def to_frame(self):
        """One row a run, in the order in which they are cut.

        Returns
        -------
        pandas.DataFrame
        """
        import pandas as pd

        return pd.DataFrame([run.to_dict() for run in self.runs])

    def summary(self):
        """The plan as a maker reads it out."""
        lines = [self.need.summary(), *([self.history.summary()] if self.history else [])]
        lines += [one.text for one in self.doubts]
        if self.reading_cv_from != "assumed":
            how = "taken to be good to {}, as given" if self.reading_cv_from == "given" else (
                f"good to {{}}, by {self.reading_cv_from}"
            )  # fmt: skip
            lines.append(f"One reading is {how.format(f'{100 * self.reading_cv:.2g} %')}.")
        lines.append(
            f"{self.schedule.summary()} The protocol's own stages stay in force on the bench "
            "sheet and in the log; to use these, copy the protocol and write them into it."
        )
        for block in dict.fromkeys(run.block for run in self.runs):
            blades = [run.blade for run in self.runs if run.block == block]
            lines.append(f"{block}: {', '.join(blades)}")
        lines += [f"  {path}" for path in self.files]
        return "\n".join(lines)
