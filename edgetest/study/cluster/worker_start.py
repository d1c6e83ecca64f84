"""What does a worker do when it starts? Dask calls `dask_setup` in each of its processes."""

import logging
import signal
import threading
from typing import Any


def dask_setup(worker: Any) -> None:
    """Load what measures, and leave Ctrl-C to the program that started the worker."""
    from edgetest.study.cluster import parcels  # noqa: F401 - a second, before the first parcel

    for name in list(logging.root.manager.loggerDict):
        if name.partition(".")[0] == "distributed":
            logging.getLogger(name).setLevel(logging.CRITICAL)  # what matters is told elsewhere
    if threading.current_thread() is threading.main_thread():
        signal.signal(signal.SIGINT, signal.SIG_IGN)
