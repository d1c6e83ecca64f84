"""What a comparison of a CSV costs before its first number: imports, and the whole command.

python -m tests.benchmarks.import_speed

CPU time of a fresh process, user and system together, best of several; the bytecode is warm.
"""

import platform
import resource
import subprocess
import sys
import tempfile
from pathlib import Path

ROOT = Path(__file__).parent.parent.parent
TIMES = 7
HEAVY = ("cv2", "matplotlib", "pandas", "scipy.optimize", "scipy.stats", "statsmodels", "streamlit")
LOG = "blade,heat_treatment,cuts,edge_width_um\n" + "".join(
    f"{name}{number},{name},{cuts},{(6 + cuts / pace) ** 0.5 * (1 + 0.02 * number):.3f}\n"
    for name, pace in (("soft", 0.8), ("hard", 1.2))
    for number in (1, 2, 3)
    for cuts in (0, 10, 25, 50, 100, 200)
)
WHAT = {
    "import numpy, scipy.special": "import numpy, scipy.special",
    "import edgetest": "import edgetest",
    "imports of a comparison": ("import edgetest.study.sources, edgetest.study.wear.wear_answer"),
    "edgetest compare log.csv": (
        "import contextlib; from edgetest.cli import main\n"
        "with contextlib.suppress(SystemExit): main(['compare', 'log.csv', '--limit', '12'])"
    ),
}


def cpu_s(code, folder):
    """CPU seconds of a fresh process that runs the code."""
    before = resource.getrusage(resource.RUSAGE_CHILDREN)
    subprocess.run([sys.executable, "-c", code], cwd=folder, env={"PYTHONPATH": str(ROOT)},
                   stdout=subprocess.DEVNULL, check=True)  # fmt: skip
    after = resource.getrusage(resource.RUSAGE_CHILDREN)
    return after.ru_utime - before.ru_utime + after.ru_stime - before.ru_stime


def loaded(code, folder):
    """The heavy packages that the code loads."""
    code += f"\nimport sys; print(*[n for n in {HEAVY!r} if n in sys.modules], file=sys.stderr)"
    done = subprocess.run([sys.executable, "-c", code], cwd=folder, env={"PYTHONPATH": str(ROOT)},
                          capture_output=True, text=True, check=True)  # fmt: skip
    return done.stderr.strip() or "none"


def main():
    """Print the table."""
    print(f"Python {platform.python_version()}, {platform.machine()}; best of {TIMES}")
    with tempfile.TemporaryDirectory() as folder:
        (Path(folder) / "log.csv").write_text(LOG, encoding="utf-8")
        for words, code in WHAT.items():
            best = min(cpu_s(code, folder) for _ in range(TIMES))
            print(f"{words:30s} {best:5.2f} s CPU   heavy: {loaded(code, folder)}")


if __name__ == "__main__":
    main()
