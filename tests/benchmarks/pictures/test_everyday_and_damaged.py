"""The judges of what is no edge: no crop comes twice, every machine has them, damage is damage."""

import hashlib
import io

import numpy as np
import pytest
from PIL import Image

from tests.benchmarks.pictures.damaged import DAMAGES, damaged
from tests.benchmarks.pictures.everyday import PACKAGED, everyday, packaged


def test_every_photograph_of_the_list_is_there_and_none_comes_twice():
    assert len(packaged()) == len(PACKAGED)
    crops = [everyday(seed) for seed in range(30)]
    assert len({hashlib.sha256(data).digest() for data, _ in crops}) == 30
    assert len({name for _, name in crops}) > 10
    for data, _ in crops:
        width, height = Image.open(io.BytesIO(data)).size
        assert 200 <= min(width, height) <= max(width, height) <= 1200
    assert everyday(7) == everyday(7)


def decoded(thing):
    picture = Image.open(io.BytesIO(thing))
    picture.load()
    return np.asarray(picture)


@pytest.mark.parametrize("seed", [0, 2, 4, 8])
def test_files_without_a_whole_picture_do_not_open(seed):
    for start in (seed, seed + 1):
        data, name = damaged(start, ("no picture at all",))
        assert name == "no picture at all"
        with pytest.raises(OSError):
            decoded(data)


def test_every_damage_comes_with_even_seeds_and_odd_ones():
    for start in (0, 1):
        names = {damaged(seed)[1] for seed in range(start, 2 * len(DAMAGES), 2)}
        assert names == set(DAMAGES)


def test_the_same_seed_damages_alike():
    for seed in range(0, 2 * len(DAMAGES), 2):  # every damage once
        first, again = damaged(seed)[0], damaged(seed)[0]
        if isinstance(first, bytes):
            assert first == again
        else:
            assert first.shape == again.shape
            assert first.dtype == again.dtype
