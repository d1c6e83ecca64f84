"""Addresses of clusters and the programs of their workers, before any of them is asked."""

from types import SimpleNamespace

import pytest

from edgetest.errors import UnusableInput
from edgetest.study.cluster import reach as module
from edgetest.study.cluster.parcels import Program
from edgetest.study.cluster.reach import Cluster, check_address, no_answer, nobody, other_program


@pytest.mark.parametrize(
    "address",
    ["tcp://192.168.1.5:8786", "tls://shop-pc.local:1", "tcp://[::1]:65535"],
)
def test_an_address_names_its_way_machine_and_port(address):
    check_address(address)


@pytest.mark.parametrize(
    "address",
    ["192.168.1.5:8786", "tcp://a:0", "tcp://a:65536", "tcp://a", "http://a:1", "tcp://a b:1"],
)
def test_what_is_no_address_is_refused_at_once(address):
    with pytest.raises(UnusableInput, match="is no address of a cluster"):
        check_address(address)


OWN = Program("1.0", "abc", (("numpy", "2.0"), ("scipy", "1.0")))


@pytest.fixture
def judged(monkeypatch):
    """What a person is told of workers of these programs."""
    monkeypatch.setattr(module, "this_program", lambda: OWN)

    def of(**programs):
        told = []
        client = SimpleNamespace(run=lambda *_, **__: programs)
        module._judge(module._programs(client), Cluster("tcp://a:1", tell=told.append))
        return told

    return of


def test_workers_of_this_very_program_may_measure(judged):
    assert judged(a=OWN, b=Program("1.0", "abc", OWN.libraries)) == []


def test_other_libraries_are_told_once(judged):
    other = Program("1.0", "abc", (("numpy", "2.1"), ("scipy", "1.0")))
    (line,) = judged(a=other, b=other, c=OWN)
    assert line.endswith("(numpy 2.1 there, 2.0 here)")
    assert OWN.other_libraries(other) == [("numpy", "2.0", "2.1")]


@pytest.mark.parametrize(
    ("program", "what"),
    [
        (Program("0.9", "x", ()), "it is edgetest 0.9, this one is 1.0"),
        (Program("1.0", "x", ()), "it is edgetest 1.0 as this one, but its files differ"),
        (ModuleNotFoundError("no", name="edgetest"), "the package edgetest is not installed there"),
        (KeyError("x"), "it cannot say which edgetest it is (KeyError)"),
    ],
)
def test_workers_of_another_program_are_refused_with_what_they_are(judged, program, what):
    with pytest.raises(UnusableInput) as met:
        judged(a=OWN, b=program)
    assert what in met.value.what
    assert met.value.where == "b"
    assert what in other_program("b", program).what


def test_nobody_there_is_told_with_how_long_it_was_waited():
    assert "waited up to 8 s)" in no_answer("tcp://a:1").what
    assert no_answer("tls://a:1").what.endswith(", or a certificate is missing")
    assert "no worker for 10 s" in nobody("tcp://a:1", 10.4).what
    assert "--join tcp://a:1" in nobody("tcp://a:1", 1).mend
