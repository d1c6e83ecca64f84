"""The sealed file itself, with the real cipher: any program that knows the format opens it."""

import json

import pytest
from pyrage import passphrase

from edgetest.errors import UnusableInput
from edgetest.store.sealed_file import SEALED_FILE, read_sealed, write_sealed

CONTENT = {"codes": {"Kestrel": "A7", "Möwe": "B2"}}


def test_the_word_alone_opens_it_and_so_does_any_reader_of_the_format(tmp_path):
    fingerprint = write_sealed(tmp_path, CONTENT, " three odd wo\u0308rds ")
    path = tmp_path / SEALED_FILE
    data = path.read_bytes()
    assert data.startswith(b"age-encryption.org/v1\n-> scrypt ")
    assert b"Kestrel" not in data
    assert json.loads(passphrase.decrypt(data, "three odd w\u00f6rds")) == CONTENT
    with pytest.raises(UnusableInput, match="the word does not open the sealed names"):
        read_sealed(path, "three odd words", fingerprint)
    path.write_bytes(data[:-1] + bytes([data[-1] ^ 1]))
    with pytest.raises(UnusableInput, match="damaged, or belongs to another study"):
        read_sealed(path, "three odd wörds", fingerprint)


@pytest.mark.slow
def test_what_was_sealed_is_read_again(tmp_path):
    fingerprint = write_sealed(tmp_path, CONTENT, "three odd words")
    assert read_sealed(tmp_path / SEALED_FILE, "three odd words ", fingerprint) == CONTENT


def test_a_short_word_seals_nothing(tmp_path):
    with pytest.raises(UnusableInput, match="fewer than 8 letters"):
        write_sealed(tmp_path, CONTENT, " seven77 ")
    assert not list(tmp_path.iterdir())
