"""A sentence begins with a capital letter, a blade's id as it was typed."""

import pytest


def log(**worn):
    """A log of one or two blades of two heat treatments, each with how slowly it wears."""
    rows = ["blade,heat_treatment,cuts,edge_width_um"]
    rows += [
        f"{blade},{kind},{cuts},{2 + cuts / (slow + k) + 0.02 * (cuts % 7):.2f}"
        for kind, (blades, slow) in worn.items()
        for k, blade in enumerate(blades)
        for cuts in (0, 50, 100, 200, 300)
    ]
    return "\n".join(rows) + "\n"


@pytest.mark.parametrize(("first", "other"), [("b", "C"), ("K2", "b")])
def test_an_id_stays_as_it_was_typed(run, tmp_path, first, other):
    (tmp_path / "log.csv").write_text(log(x=([first], 30), y=([other], 20)), encoding="utf-8")
    code, out, _ = run("compare", tmp_path / "log.csv", "--limit", 9)
    assert code == 0
    assert out.splitlines()[1].startswith(f"{first} lasted ")


def test_a_heat_treatment_in_words_begins_with_a_capital(run, tmp_path):
    two = log(straw=(["b", "c"], 30), purple=(["d", "e"], 20))
    (tmp_path / "log.csv").write_text(two, encoding="utf-8")
    _, out, _ = run("compare", tmp_path / "log.csv", "--limit", 9)
    assert out.splitlines()[1].startswith("Straw lasts ")
