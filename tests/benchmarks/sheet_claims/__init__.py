"""Does a chopper's sheet say what its log says? A reader that shares no line with the writer.

``sheet_logs`` writes mixed logs of invented shops, ``log_facts`` reads a log by the standard
library alone, ``sheet_text`` reads the PDF, and the ``claims_…`` modules hold every sentence and
number of it against the log. A claim that the log does not bear is a ``Contradiction``.
"""
