"""A study's zip as bytes, for tests that look into it."""

from pathlib import Path
from tempfile import TemporaryDirectory

from edgetest.store.export import export_study


def zip_of(folder):
    """The bytes of a small study's zip."""
    with TemporaryDirectory() as place:
        return export_study(folder, Path(place) / "study.zip").read_bytes()
