"""A quick stand-in for what draws a key from a word, which takes two seconds by design.

For tests of what sealing does around the sealed file; the file itself is tested with the real one.
"""

import hashlib

from pyrage import DecryptError

MARK = b"stand-in\n"


def _mixed(data: bytes, word: str) -> bytes:
    """The bytes with those that the word makes: no name in them can be read; twice is once."""
    stream = hashlib.shake_256(word.encode()).digest(len(data))
    return bytes(a ^ b for a, b in zip(data, stream, strict=True))


def _encrypt(data: bytes, word: str) -> bytes:
    return MARK + hashlib.sha256(word.encode()).digest() + _mixed(data, word)


def _decrypt(data: bytes, word: str) -> bytes:
    held, rest = data[len(MARK) :][:32], data[len(MARK) + 32 :]
    if held != hashlib.sha256(word.encode()).digest():
        raise DecryptError("another word")
    return _mixed(rest, word)


def quick_words(patch):
    """Put the stand-in in the place of the real one, by pytest's own monkeypatch."""
    patch.setattr("pyrage.passphrase.encrypt", _encrypt)
    patch.setattr("pyrage.passphrase.decrypt", _decrypt)
