"""What do the pages of a PDF say, line by line? Read with PDFium."""

from contextlib import closing

from pypdfium2 import PdfDocument

PARTED = "\ufffe"  # a word parted at a line's end, in PDFium's words


def page_texts(path):
    """The text of each page, its lines parted by a line feed."""
    with closing(PdfDocument(path)) as pdf:
        texts = [page.get_textpage().get_text_range() for page in pdf]
    return [text.replace("\r\n", "\n").replace(PARTED, "-\n") for text in texts]
