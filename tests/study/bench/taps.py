"""One tap of the counter, as a test taps it."""

from edgetest.study.bench.session_file import count_taps


def count_cuts(folder, run, cuts, *, stage, read_to=0, tap="", when=None):
    """Add the cuts of one tap to a run's count."""
    return count_taps(folder, run, [(tap, cuts)], stage=stage, read_to=read_to, when=when)
