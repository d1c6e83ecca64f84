"""What was done to a blade: a heat treatment and its steps, as typed."""

from typing import Literal

from pydantic import model_validator

from edgetest.store.checking import Record
from edgetest.store.field_kinds import (
    Celsius,
    Count,
    Minutes,
    Name,
    TitleOrNone,
    in_celsius,
)
from edgetest.units import as_typed

StepKind = Literal[
    "normalise", "carburise", "austenitise", "quench", "temper", "cold", "anneal", "thermal_cycle"
]


class Step(Record):
    """One heating or cooling of a heat treatment; numbers in °C and minutes, as typed besides."""

    kind: StepKind
    temperature_c: Celsius | None = None
    time_min: Minutes | None = None
    soak_min: Minutes | None = None
    medium: str = ""
    repeats: Count = 1
    note: str = ""

    _in_celsius = model_validator(mode="before")(in_celsius)

    def words(self) -> str:
        """The step as a maker says it, with its note: "temper 2 × 200 °C, 60 min, slow"."""
        times = f" {self.repeats} ×" if self.repeats > 1 else ""
        parts = [as_typed(self.temperature_c, "c") if self.temperature_c is not None else ""]
        parts.append(f"soak {as_typed(self.soak_min, 'min')}" if self.soak_min else "")
        parts.append(as_typed(self.time_min, "min") if self.time_min else "")
        parts += [self.medium, self.note]
        tail = ", ".join(part for part in parts if part)
        return f"{self.kind.replace('_', ' ')}{times} {tail}".strip()


class HeatTreatment(Record):
    """Ordered steps under one name."""

    id: Name
    title: TitleOrNone = ""
    steps: tuple[Step, ...] = ()
    note: str = ""

    def words(self) -> str:
        """All steps in one line, each with its note."""
        return "; ".join(step.words() for step in self.steps)
