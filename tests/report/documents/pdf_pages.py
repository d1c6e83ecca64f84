"""What do the pages of a PDF say, line by line, and where? Read with PDFium."""

from contextlib import closing

from pypdfium2 import PdfDocument

PARTED = "\ufffe"  # a word parted at a line's end, in PDFium's words


def page_texts(path):
    """The text of each page, its lines parted by a line feed."""
    with closing(PdfDocument(path)) as pdf:
        texts = [page.get_textpage().get_text_range() for page in pdf]
    return [text.replace("\r\n", "\n").replace(PARTED, "-\n") for text in texts]


def line_ends(path):
    """Left and right end of each piece of text, in points, page by page."""
    found = []
    with closing(PdfDocument(path)) as pdf:
        for page in pdf:
            text = page.get_textpage()
            boxes = [text.get_rect(i) for i in range(text.count_rects())]
            found.append([(left, right) for left, _, right, _ in boxes])
    return found
