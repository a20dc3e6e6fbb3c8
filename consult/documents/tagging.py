"""Who reads the paper aloud? A canvas that marks headings, paragraphs and figures, and counts its pages.

ReportLab has no tagging of its own. The marks are laid into the page's content and the structure
tree is written when the file is saved. What comes out is tagged; no standard is claimed for it.
"""

from collections.abc import Iterator
from contextlib import contextmanager
from typing import Any

from reportlab.pdfbase import pdfdoc
from reportlab.pdfgen.canvas import Canvas


class _TaggedPage(pdfdoc.PDFPage):  # type: ignore[misc]  # ReportLab publishes no types
    """A page that may say which part of the structure tree is its own."""

    __NoDefault__ = [*pdfdoc.PDFPage.__NoDefault__, "StructParents", "Tabs"]


class TaggedCanvas(Canvas):  # type: ignore[misc]  # ReportLab publishes no types
    """Pages are kept until the last is there, so that each can say "2 of 3"."""

    def __init__(self, *args: Any, **options: Any) -> None:
        super().__init__(*args, **options)
        self._kept: list[dict[str, Any]] = []
        self._marks = 0
        self._page_index = 0
        self._elements: list[tuple[str, int, int, str]] = []  # tag, page, mark, words for a figure

    @contextmanager
    def tagged(self, tag: str, alternative: str = "") -> Iterator[None]:
        """What is drawn inside is one element: H1, H2, P or Figure, in reading order."""
        self._code.append(f"/{tag} <</MCID {self._marks}>> BDC")
        self._elements.append((tag, self._page_index, self._marks, alternative))
        self._marks += 1
        yield
        self._code.append("EMC")

    @contextmanager
    def artifact(self) -> Iterator[None]:
        """What is drawn inside is not read: page numbers, rules."""
        self._code.append("/Artifact BMC")
        yield
        self._code.append("EMC")

    def furnish(self, page: int, pages: int) -> None:
        """What stands on page x of y beside the story; here nothing."""

    def showPage(self) -> None:
        """Keep the page: it is written when the number of pages is known."""
        self._kept.append(dict(self.__dict__))
        self._page_index += 1
        self._marks = 0
        self._startPage()

    def save(self) -> None:
        """Write the kept pages with their furniture, then the structure tree."""
        elements, kept = self._elements, self._kept
        pages: list[Any] = []
        for index, state in enumerate(kept):
            self.__dict__.update(state)
            with self.artifact():
                self.furnish(index + 1, len(kept))
            super().showPage()
            reference = self._doc.Pages.pages[-1]
            page = (
                self._doc.idToObject[reference.name]
                if isinstance(reference, pdfdoc.PDFObjectReference)
                else reference
            )
            page.__class__ = _TaggedPage
            page.StructParents = index
            page.Tabs = pdfdoc.PDFName("S")
            pages.append(self._doc.Reference(page))
        self._write_tree(elements, pages)
        self._doc.SaveToFile(self._filename, self)

    def _write_tree(self, elements: list[tuple[str, int, int, str]], pages: list[Any]) -> None:
        name, dictionary, array = pdfdoc.PDFName, pdfdoc.PDFDictionary, pdfdoc.PDFArray
        document = self._doc
        root = dictionary({"Type": name("StructTreeRoot")})
        root_reference = document.Reference(root)
        whole = dictionary({"Type": name("StructElem"), "S": name("Document"), "P": root_reference})
        whole_reference = document.Reference(whole)
        children: list[Any] = []
        by_page: list[list[Any]] = [[] for _ in pages]
        for tag, page, mark, alternative in elements:
            entry = {
                "Type": name("StructElem"),
                "S": name(tag),
                "P": whole_reference,
                "Pg": pages[page],
                "K": mark,
            }
            if alternative:
                entry["Alt"] = pdfdoc.PDFString(alternative)
            reference = document.Reference(dictionary(entry))
            children.append(reference)
            by_page[page].append(reference)
        whole.dict["K"] = array(children)
        root.dict["K"] = array([whole_reference])
        numbers: list[Any] = []
        for index, references in enumerate(by_page):
            numbers += [index, document.Reference(array(references))]
        root.dict["ParentTree"] = document.Reference(dictionary({"Nums": array(numbers)}))
        root.dict["ParentTreeNextKey"] = len(pages)
        catalog = document.Catalog
        catalog.StructTreeRoot = root
        catalog.MarkInfo = dictionary({"Marked": "true"})
        catalog.ViewerPreferences = dictionary({"DisplayDocTitle": "true"})
