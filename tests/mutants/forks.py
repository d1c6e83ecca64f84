"""How is a job run in a fork of this process, and stopped when it takes too long?"""

import os
import resource
import select
import signal
import sys
import time
import traceback

MORE_MEMORY = 3 << 30  # bytes that a fork may take beyond what it begins with


def forked(job, folder, cpu_s, wall_s):
    """Run `job()` in a fork that stands in `folder`; its exit code, or "too long", "crashed".

    The limit is of the processor's time, so that a busy machine changes nothing; the limit of the
    clock is for a job that sleeps.
    """
    pid = os.fork()
    if pid == 0:
        code = 70
        try:
            os.setsid()
            quiet = os.open(os.devnull, os.O_RDWR)
            for stream in (0, 1, 2):
                os.dup2(quiet, stream)
            os.chdir(folder)
            os.environ["PYTHONPATH"] = str(folder)
            sys.path[:] = [
                str(folder),
                *(p for p in sys.path if p not in ("", os.environ.get("PWD"))),
            ]
            for name in [one for one in sys.modules if one.split(".")[0] == "tests"]:
                del sys.modules[name]  # those of the folder are meant
            sys.dont_write_bytecode = True
            os.environ["PYTHONDONTWRITEBYTECODE"] = "1"
            with open("/proc/self/statm", encoding="ascii") as sizes:
                held = int(sizes.read().split()[0]) * resource.getpagesize()
            resource.setrlimit(resource.RLIMIT_AS, (held + MORE_MEMORY, held + MORE_MEMORY))
            within(cpu_s)
            code = int(job())
        except BaseException:
            traceback.print_exc()
        finally:
            os._exit(code)
    handle = os.pidfd_open(pid)
    ended, _, _ = select.select([handle], [], [], wall_s)
    os.close(handle)
    if not ended:
        os.killpg(pid, signal.SIGKILL)
    _, status = os.waitpid(pid, 0)
    if os.WIFEXITED(status):
        return os.WEXITSTATUS(status)
    return "too long" if os.WTERMSIG(status) in (signal.SIGPROF, signal.SIGKILL) else "crashed"


# Quiet, keeps nothing, and does not mind that libraries are here before its hooks.
PYTEST = ("-q", "-p", "no:cacheprovider", "-W", "ignore::pytest.PytestAssertRewriteWarning")


def within(cpu_s):
    """End this process when it has used so much of the processor's time from now on."""
    signal.signal(signal.SIGPROF, signal.SIG_DFL)
    signal.setitimer(signal.ITIMER_PROF, cpu_s)


def warm():
    """Import what every fork would import, and nothing of the package."""
    import importlib

    begun = time.perf_counter()
    for name in (
        "numpy",
        "scipy.stats",
        "scipy.optimize",
        "scipy.integrate",
        "scipy.interpolate",
        "scipy.ndimage",
        "scipy.signal",
        "scipy.sparse.linalg",
        "pandas",
        "statsmodels.api",
        "statsmodels.formula.api",
        "cv2",
        "PIL.Image",
        "pillow_heif",
        "pydantic",
        "click.testing",
        "tomlkit",
        "openpyxl",
        "joblib",
        "jsonschema_rs",
        "hypothesis",
        "matplotlib.figure",
        "lifelines",
        "skimage.measure",
        "xdist",
        "cosmic_ray.mutating",
        "coverage",
    ):
        importlib.import_module(name)
    import cv2

    cv2.setNumThreads(1)
    assert not any(name.split(".")[0] == "edgetest" for name in sys.modules)
    return time.perf_counter() - begun
