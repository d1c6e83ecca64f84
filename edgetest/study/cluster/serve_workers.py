"""How are programs started that measure photographs for others, here or on a further machine?"""

import asyncio
import logging
import signal
from collections.abc import Callable, Iterator
from contextlib import AsyncExitStack, contextmanager, suppress
from dataclasses import dataclass
from typing import Any

from edgetest.errors import UnusableInput
from edgetest.study.cluster.reach import (
    FEW_KEPT,
    SELDOM,
    ask_scheduler,
    check_address,
    needed_packages,
)

START_S = 60.0  # 3 s on a quiet machine
LOST_AT_ONCE = 0  # deaths of workers that Dask mends unseen; whoever measures counts each


@dataclass(frozen=True)
class Workers:
    """Programs that measure for others.

    Attributes
    ----------
    count : int
        How many; each measures one photograph at a time.
    join : str or None
        Address of a cluster to join; None starts one.
    address : str
        Of this machine, at which a started cluster answers.
    port : int
        Its port; 0 takes a free one.
    """

    count: int = 2
    join: str | None = None
    address: str = "127.0.0.1"
    port: int = 8786


def serve_workers(workers: Workers, ready: Callable[[str], Any]) -> None:
    """Start workers, and a cluster for them unless they join one; ends with Ctrl-C.

    Parameters
    ----------
    workers : Workers
    ready : callable(str)
        Called with the cluster's address once the workers are there.

    Raises
    ------
    UnusableInput
        If Dask is not installed, the port is taken, or the cluster to join does not answer or
        has ended.
    """
    if workers.count < 1:
        raise UnusableInput(f"{workers.count} workers measure nothing", "--count", "give 1 or more")
    if workers.join is not None:
        check_address(workers.join, "--join")
    dask, _ = needed_packages()
    logging.getLogger("distributed").setLevel(logging.CRITICAL)
    settings: dict[str, Any] = {
        "distributed.scheduler.http.routes": [],  # no pages are served
        "distributed.worker.http.routes": [],
        "distributed.worker.profile.enabled": False,
        # Nothing is moved from worker to worker: each asks for little, and gives it back at once.
        "distributed.scheduler.work-stealing": False,
        "distributed.scheduler.active-memory-manager.start": False,
        **FEW_KEPT,
        **SELDOM,
    }
    with dask.config.set(settings), suppress(KeyboardInterrupt, asyncio.CancelledError):
        asyncio.run(_serve(workers, ready))


async def _serve(workers: Workers, ready: Callable[[str], Any]) -> None:
    if workers.join is not None:
        await ask_scheduler(workers.join)
    over, loop = asyncio.Event(), asyncio.get_running_loop()
    with suppress(NotImplementedError):  # on Windows Ctrl-C cancels the wait by itself
        for each in (signal.SIGINT, signal.SIGTERM):
            loop.add_signal_handler(each, over.set)
    async with AsyncExitStack() as open_:
        address = workers.join or await _scheduler(workers, open_)
        try:
            with _ctrl_c_later():
                started = [_worker(address) for _ in range(workers.count)]
                starting = [open_.enter_async_context(each) for each in started]
                await asyncio.wait_for(asyncio.gather(*starting), START_S)
        except TimeoutError:
            raise UnusableInput(
                f"its workers did not start within {START_S:.0f} s",
                address,
                "give a smaller --count, or try again when the machine is less busy",
            ) from None
        ready(address)
        gone = [asyncio.ensure_future(each.finished()) for each in started]
        over_or_gone = asyncio.ensure_future(over.wait())
        for each in gone:
            await asyncio.wait([each, over_or_gone], return_when=asyncio.FIRST_COMPLETED)
        if not over.is_set():
            over_or_gone.cancel()
            raise UnusableInput(
                "the cluster that was joined has ended", address, "start it, then join it again"
            )


@contextmanager
def _ctrl_c_later() -> Iterator[None]:
    """Hold Ctrl-C back; a process that is started meanwhile never gets it."""
    hold = getattr(signal, "pthread_sigmask", None)  # Windows has none
    if hold is None:
        yield
        return
    before = hold(signal.SIG_BLOCK, {signal.SIGINT})
    try:
        yield
    finally:
        hold(signal.SIG_SETMASK, before)


def _worker(address: str) -> Any:
    """A worker that is started again where it ends."""
    import dask
    from distributed import Nanny

    return Nanny(
        address,
        nthreads=1,
        death_timeout=START_S,
        silence_logs=logging.CRITICAL,
        preload=["edgetest.study.cluster.worker_start"],
        config=dask.config.config,
    )


async def _scheduler(workers: Workers, open_: AsyncExitStack) -> str:
    """Start what hands out photographs; its address."""
    import dask
    from distributed import Scheduler

    secured = dask.config.get("distributed.comm.require-encryption")
    try:
        scheduler = await open_.enter_async_context(
            Scheduler(
                host=workers.address,
                port=workers.port,
                protocol="tls" if secured else "tcp",
                dashboard=False,
                dashboard_address=f"{workers.address}:0",
                allowed_failures=LOST_AT_ONCE,
            )
        )
    except (OSError, ValueError) as fault:
        raise UnusableInput(
            f"cannot be listened at ({fault})",
            f"{workers.address}:{workers.port}",
            "give another --port, or an --address of this machine",
        ) from fault
    return scheduler.address
