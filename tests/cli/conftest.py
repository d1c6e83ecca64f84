"""Running a command as a user does."""

import pytest

from edgetest.cli import main


@pytest.fixture
def run(capsys):
    """Run a command: (exit code, stdout, stderr)."""

    def call(*arguments):
        with pytest.raises(SystemExit) as caught:
            main([str(argument) for argument in arguments])
        out, err = capsys.readouterr()
        return caught.value.code, out, err

    return call
