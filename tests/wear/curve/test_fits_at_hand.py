"""The same question is answered once; another question, however near, is not."""

import numpy as np

from edgetest.wear.curve import fits_at_hand
from edgetest.wear.curve.fits_at_hand import fitted_once


def asked_of(function):
    asked = []

    @fitted_once
    def call(*args, **words):
        asked.append((args, words))
        return function(*args, **words)

    return call, asked


def test_equal_readings_are_fitted_once_and_others_anew():
    call, asked = asked_of(lambda x, power=None: x.sum())
    readings = np.array([1.0, 2.0, 4.0])
    assert call(readings) == 7
    assert call(readings.copy()) == 7
    assert len(asked) == 1
    readings[2] = np.nextafter(4.0, 5.0)  # changed where it stands, by the last digit
    assert call(readings) > 7
    assert call(np.array([1.0, 2.0, 4.0]), power=2.0) == 7
    assert len(asked) == 3


def test_the_oldest_go_first_and_the_large_are_not_held(monkeypatch):
    monkeypatch.setattr(fits_at_hand, "MOST", 2)
    call, asked = asked_of(lambda x: x)
    for x in (1, 2, 1, 3, 1, 2):  # 3 puts 2 out, for 1 was asked later
        call(x)
    assert [args for args, _ in asked] == [(1,), (2,), (3,), (2,)]
    monkeypatch.setattr(fits_at_hand, "LARGEST_BYTES", 1000)
    large = np.zeros(1000)
    call(large)
    call(large)
    assert len(asked) == 6


def test_what_cannot_be_told_apart_is_worked_out_anew():
    call, asked = asked_of(lambda law: law(3))
    for _ in range(2):
        assert call(lambda x: x + 1) == 4
    assert len(asked) == 2
