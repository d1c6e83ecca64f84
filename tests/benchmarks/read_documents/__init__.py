"""Is every sentence of a document borne by the study that it is about?

A generator of invented studies and a reader of their documents. Neither uses a line of the program:
studies are written as a maker writes them, documents are read as text.
"""
