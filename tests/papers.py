"""What does a paper say? Its words, read back by another library than the one that wrote it."""

import io
import re

from pypdf import PdfReader


def words_of(pdf: bytes) -> str:
    """All words of all pages in their order, white space folded."""
    text = " ".join(page.extract_text() for page in PdfReader(io.BytesIO(pdf)).pages)
    return re.sub(r"\s+", " ", text)
