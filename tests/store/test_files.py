"""Is a disk that takes no more told as what it is, with the old file unchanged?"""

import errno
import os

import pytest

from edgetest.store.files import append_line, disk_fault, write_atomic


@pytest.fixture
def full_disk(monkeypatch):
    """A disk that has no room when a file is synced."""

    def no_room(_handle):
        raise OSError(errno.ENOSPC, os.strerror(errno.ENOSPC))

    monkeypatch.setattr("edgetest.store.files.os.fsync", no_room)


@pytest.mark.parametrize("write", [write_atomic, append_line])
def test_a_full_disk_names_the_file_and_the_mend(write, full_disk, tmp_path):
    path = tmp_path / "log.csv"
    with pytest.raises(OSError, match="No space") as caught:
        write(path, "x")
    told = disk_fault(caught.value)
    assert (told.where, told.what) == (str(path), "no space left on device")
    assert "make room" in told.mend


def test_a_full_disk_is_no_fault_of_the_program(full_disk, tmp_path, run):
    code, _, err = run("new", tmp_path / "t", "--protocol", "sisal_rope", "--blade", "H1")
    assert code == 2
    assert "make room on the disk" in err
    assert "fault of the program" not in err
