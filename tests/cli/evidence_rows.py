"""What a study of a steel holds as evidence, as it stands in the file."""

import tomllib


def rows_of(folder, table):
    """The rows of a table of evidence."""
    return tomllib.loads((folder / "study.toml").read_text("utf-8"))["evidence"][table]
