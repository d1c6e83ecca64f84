"""How do the tests of logs read a text: as a log, or as the words of its faults?"""

from edgetest.store.logs import read_log


def read(text, **more):
    data = text if isinstance(text, bytes) else text.encode()
    return read_log(data, name="log.csv", **more)


def told(text, **more):
    return [str(fault) for fault in read(text, **more).faults]


PLAIN = "blade,cuts,edge_width_um\nK1,0,1.5\nK1,50,4.25\n"
