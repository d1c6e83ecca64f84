"""A photograph of the rope run rendered by itself is the one that was drawn in the run's order."""

import json
from itertools import islice

import cv2
import numpy as np
import pytest

from edgetest.photo.render import rope_run
from edgetest.store.places import shipped

RUN = shipped("sample_runs") / "billhook_temper_study"
TRUTH = json.loads((RUN / "truth.json").read_text(encoding="utf-8"))


@pytest.fixture(scope="module")
def begun():
    """The first photographs of the run, drawn in its order."""
    rng = np.random.default_rng(rope_run.ROPE_SEED)
    lives, _ = rope_run.rope_lives(rng)
    return list(islice(rope_run.rope_pictures(rng, lives), 4))


def test_each_is_rendered_by_itself_to_the_last_bit(begun):
    for (*_, name), jpeg, truth in reversed(begun):
        kept = json.loads(json.dumps(truth))
        assert rope_run.rendered_again(name, kept) == jpeg


def test_the_kept_truth_is_what_the_run_draws(begun):
    for (*_, name), _, truth in begun:
        kept = TRUTH["photos"][name]
        assert kept.keys() == truth.keys()
        assert kept["chance"] == truth["chance"]
        # Machines differ in the last digits of exp and log.
        assert kept["asked_width_um"] == pytest.approx(truth["asked_width_um"], rel=1e-12)


@pytest.mark.parametrize("name", ["H2_roll2_050_040.jpg", "C1_roll3_300_060.jpg", "micrometer.jpg"])
def test_the_kept_photograph_is_what_its_truth_makes(name):
    truth = TRUTH["micrometer"] if name == "micrometer.jpg" else TRUTH["photos"][name]
    made = np.frombuffer(rope_run.rendered_again(name, truth), np.uint8)
    made = cv2.imdecode(made, cv2.IMREAD_GRAYSCALE).astype(float)
    kept = cv2.imread(str(RUN / "photos" / name), cv2.IMREAD_GRAYSCALE).astype(float)
    # Processors may round single pixels otherwise; other chance moves all by some grey levels.
    assert np.mean(np.abs(made - kept)) < 0.05


def test_the_stream_goes_on_where_it_stood():
    rng = np.random.default_rng(rope_run.ROPE_SEED)
    for draw in range(5):
        rng.integers(0, 3, dtype=np.int32)  # takes half of what the generator makes
        here = rope_run.chance_now(rng)
        assert (":" in here) == (draw % 2 == 0)
        assert rope_run.chance_now(rope_run.chance_from(here)) == here
    again = rope_run.chance_from(here)
    assert again.integers(0, 1000, 9).tolist() == rng.integers(0, 1000, 9).tolist()
    assert again.standard_normal(9).tolist() == rng.standard_normal(9).tolist()
