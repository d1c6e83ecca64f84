"""Time and memory of the apex view, beyond decoding and with it; one core.

python -m tests.benchmarks.apex_speed
"""

import os
import sys
import time
import tracemalloc

os.environ.setdefault("OMP_NUM_THREADS", "1")
os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")

import cv2
import numpy as np

from edgetest.photo.apex.edge_width import measure_apex
from edgetest.photo.render.apex_scene import render_apex
from edgetest.store.images import read_picture


def best(function, times=3):
    """Least of several processor times, milliseconds: one thread, however busy the machine."""
    found = []
    for _ in range(times):
        start = time.process_time()
        function()
        found.append(time.process_time() - start)
    return 1e3 * min(found)


def main():
    """Print one line a size."""
    cv2.setNumThreads(1)
    print(f"numpy {np.__version__}, opencv {cv2.__version__}, python {sys.version.split()[0]}")
    for rows, cols in ((480, 640), (960, 1280), (1200, 1600), (3000, 4000), (3888, 5184)):
        picture, _ = render_apex(
            shape=(rows, cols), width_um=cols / 60, tilt_deg=8.0, bevel_grain=0.0,
            land_grain=0.05, supersample=1, rng=np.random.default_rng(1),
        )  # fmt: skip
        data = cv2.imencode(".jpg", picture)[1].tobytes()
        raw = np.frombuffer(data, np.uint8)
        decode = best(lambda raw=raw: cv2.imdecode(raw, cv2.IMREAD_COLOR))
        read = best(lambda data=data: read_picture(data))
        light = read_picture(data)
        measure = best(lambda light=light: measure_apex(light, 1.0))
        tracemalloc.start()
        measure_apex(read_picture(data), 1.0)
        peak = tracemalloc.get_traced_memory()[1]
        tracemalloc.stop()
        megapixels = rows * cols / 1e6
        print(
            f"{cols} x {rows} ({megapixels:.1f} Mpx): decode {decode:.0f} ms, read {read:.0f} ms, "
            f"measure {measure:.0f} ms = {measure / megapixels:.1f} ms/Mpx, all "
            f"{(read + measure) / decode:.1f} x decode, peak {peak / (3 * rows * cols):.1f} x "
            "the decoded colour picture"
        )


if __name__ == "__main__":
    main()
