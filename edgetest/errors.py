"""The one error a user meets: what is wrong, where it stands, how to mend it."""

from collections.abc import Iterable


class UnusableInput(ValueError):  # noqa: N818 - the name is what the maker is told
    """Input we cannot use: what is wrong, where it stands, how to mend it."""

    def __init__(self, what: str, where: str, mend: str) -> None:
        super().__init__(what, where, mend)  # all three in args: survives a process pool
        self.what, self.where, self.mend = what, where, mend

    def __str__(self) -> str:
        return f"{self.where}: {self.what}; {self.mend}"


class ManyFaults(UnusableInput):
    """Several faults of one input, collected so that they can be mended in one go."""

    def __init__(self, faults: Iterable[UnusableInput]) -> None:
        faults = tuple(faults)
        first = faults[0]
        super().__init__(first.what, first.where, first.mend)
        self.args = (faults,)
        self.faults = faults

    def __str__(self) -> str:
        return "\n".join(str(fault) for fault in self.faults)
