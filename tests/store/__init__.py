"""What the tests of logs share."""

from edgetest.store.workspace import new_study


def rope_study(tmp_path):
    """A study of two blades in rope, its log waiting."""
    return new_study(tmp_path / "s", "sisal_rope", "Two tempers", blades=["K1", "K2"])


def log_text(study):
    """The log as it stands in its file."""
    return (study.folder / "log.csv").read_text(encoding="utf-8")
