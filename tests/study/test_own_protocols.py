"""Which name a copy of a protocol gets."""

from edgetest.study.own_protocols import free_name


def test_a_copy_takes_the_first_name_that_no_file_here_has(tmp_path):
    for name in ("rope_own", "rope_own_2", "rope_own_3"):
        assert free_name(tmp_path, "rope") == name
        (tmp_path / f"{name}.toml").touch()
    assert free_name(tmp_path, "billets") == "billets_own"
