"""How is a cluster reached, and may its programs measure for this one?"""

import asyncio
import logging
import re
import warnings
from collections.abc import Callable, Iterator
from concurrent.futures import ThreadPoolExecutor
from contextlib import contextmanager
from dataclasses import dataclass
from typing import Any

from edgetest.errors import UnusableInput
from edgetest.study.cluster.parcels import Program, this_program

ANSWER_S = 8.0  # a cluster on one's own network answers within milliseconds
WORKERS_S = 10.0  # a worker that has just been started is there within about 3 s
_ADDRESS = re.compile(r"(tcp|tls)://(\[[0-9a-fA-F:.]+\]|[\w.-]+):(\d{1,5})", re.ASCII)
_PARCEL_WARNED_MB = 1000  # Dask warns of 10 MB by itself; a photograph may well be larger
# Dask keeps the last 1,000 messages for a look at faults; each may hold a photograph.
FEW_KEPT = {"distributed.admin.low-level-log-length": 8}
# Dask looks at its own loops 50 times a second and at memory ten times: a tenth of a core in all.
SELDOM = {
    "distributed.admin.tick.interval": "1s",
    "distributed.admin.system-monitor.interval": "5s",
    "distributed.worker.memory.monitor-interval": "1s",
}
WHO_ARE_YOU = this_program  # runs in each worker
_OTHERS = "install the same edgetest on every machine, and start its workers again"


@dataclass(frozen=True)
class Cluster:
    """Where photographs are measured, if not here.

    Attributes
    ----------
    address : str
        Of the cluster's scheduler, such as "tcp://192.168.1.5:8786".
    shared : bool
        Whether its machines see the photographs at the same paths as this one; otherwise the
        photographs are sent.
    tell : callable(str)
        Where a line goes that a person should read while it is measured.
    """

    address: str
    shared: bool = False
    tell: Callable[[str], Any] = lambda _: None


@contextmanager
def reached(cluster: Cluster) -> Iterator[Any]:
    """A client of the cluster, once its workers are found to be of this very program.

    Raises
    ------
    UnusableInput
        If Dask is not installed, nobody answers within `ANSWER_S`, no worker is there within
        `WORKERS_S`, or one of them is of another edgetest.
    """
    check_address(cluster.address)
    dask, distributed = needed_packages()
    logging.getLogger("distributed").setLevel(logging.CRITICAL)  # what matters is told here
    with dask.config.set(
        {
            "distributed.admin.large-graph-warning-threshold": f"{_PARCEL_WARNED_MB}MB",
            **FEW_KEPT,
            **SELDOM,
        }
    ):
        client = _client(distributed, cluster.address)
        try:
            _wait_for_workers(client, cluster.address)
            _judge(_programs(client), cluster)
            yield client
        finally:
            client.close(timeout=2)


def needed_packages() -> tuple[Any, Any]:
    """The packages dask and distributed.

    Raises
    ------
    UnusableInput
        If they are not installed.
    """
    try:
        import dask
        import distributed
    except ImportError as fault:
        raise UnusableInput(
            f"the package {fault.name or 'distributed'} is not installed",
            "several machines",
            "run: pip install 'edgetest[cluster]'",
        ) from None
    return dask, distributed


def check_address(address: str, where: str = "--on") -> None:
    """Refuse what is no address of a scheduler before anything is tried."""
    found = _ADDRESS.fullmatch(address)
    if found is None or not 0 < int(found[3]) < 65536:
        raise UnusableInput(
            f'"{address}" is no address of a cluster',
            where,
            "give what `edgetest workers` printed, such as tcp://192.168.1.5:8786",
        )


def _client(distributed: Any, address: str) -> Any:
    with ThreadPoolExecutor(1) as thread:  # a notebook has a loop of its own running in this one
        thread.submit(lambda: asyncio.run(ask_scheduler(address))).result()
    try:
        with warnings.catch_warnings():
            warnings.simplefilter("ignore")  # other versions of packages are told by `_judge`
            return distributed.Client(address, timeout=ANSWER_S, set_as_default=False)
    except (OSError, TimeoutError, ValueError, TypeError) as fault:
        raise no_answer(address) from fault


async def ask_scheduler(address: str) -> None:
    """Make sure that a cluster's scheduler answers at an address.

    Dask's own client waits without end for a program that takes a connection and says nothing.

    Raises
    ------
    UnusableInput
        If nothing answers within `ANSWER_S`, or it is no scheduler.
    """
    try:
        told = await asyncio.wait_for(_identity(address), ANSWER_S)
    except Exception as fault:  # whatever another kind of program made of the question
        raise no_answer(address) from fault
    if told.get("type") != "Scheduler":
        raise UnusableInput(
            "a worker answers there, not the cluster", address, "give what `edgetest workers` said"
        )


async def _identity(address: str) -> dict[str, Any]:
    from distributed.core import rpc

    async with rpc(address) as there:
        return await there.identity()


def no_answer(address: str) -> UnusableInput:
    """The fault of an address at which no cluster answers."""
    secured = ", or a certificate is missing" if address.startswith("tls") else ""
    return UnusableInput(
        f"no cluster answers there (waited up to {ANSWER_S:.0f} s){secured}",
        address,
        "start one with `edgetest workers`, or check the address and the firewall",
    )


def _wait_for_workers(client: Any, address: str) -> None:
    try:
        client.wait_for_workers(1, timeout=WORKERS_S)
    except TimeoutError:
        raise nobody(address, WORKERS_S) from None


def nobody(address: str, seconds: float) -> UnusableInput:
    """The fault of a cluster that has had no worker for some time."""
    return UnusableInput(
        f"the cluster has had no worker for {seconds:.0f} s",
        address,
        f"start one with `edgetest workers --join {address}`, then run this again: what was "
        "measured is kept",
    )


def _programs(client: Any) -> dict[str, Any]:
    """What each worker says it is; a fault where it could not say."""
    return client.run(WHO_ARE_YOU, on_error="return")


def _judge(programs: dict[str, Any], cluster: Cluster) -> None:
    """Refuse workers of another program; tell of other libraries, once."""
    own = this_program()
    for worker, program in sorted(programs.items()):
        if not isinstance(program, Program) or program.checksum != own.checksum:
            raise other_program(worker, program)
    others = {
        f"{name} {there} there, {here} here"
        for program in programs.values()
        for name, there, here in program.other_libraries(own)
    }
    if others:
        cluster.tell(
            f"{cluster.address}: the last digits of a width may differ from those measured here "
            f"({'; '.join(sorted(others))})"
        )


def other_program(worker: str, program: Any) -> UnusableInput:
    """The fault of a worker whose numbers are not this program's."""
    if isinstance(program, Program):
        version, own = program.version, this_program().version
        what = f"it is edgetest {version}, this one is {own}"
        if version == own:
            what = f"it is edgetest {version} as this one, but its files differ"
    elif isinstance(program, ModuleNotFoundError):
        what = f"the package {program.name} is not installed there, or is another"
    else:
        what = f"it cannot say which edgetest it is ({type(program).__name__})"
    return UnusableInput(f"the worker may not measure for this program: {what}", worker, _OTHERS)
