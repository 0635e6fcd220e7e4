"""PDF by fpdf2: the same document gives the same bytes, whoever draws it and when.

fpdf2's own PDF/A-3U checks are on; nothing beyond what they look at is claimed.
"""

from __future__ import annotations

from datetime import UTC, datetime
from xml.sax.saxutils import escape, quoteattr

from fpdf import FPDF
from fpdf.enums import DocumentCompliance

from riskhelper.paper.blocks import lay_all
from riskhelper.paper.glyphs import printable
from riskhelper.paper.pages import FOOT_PT, HEAD_MM, PAPERS, SIDE_MM, Mark, Pages, Shape, Stroke, Words
from riskhelper.paper.scripts import as_seen
from riskhelper.paper.typeface import FAMILY, covered_by_both, fitted, font_path, shaped, typefaces
from riskhelper.statement.document import Document, Furniture

_MARK_PT = (10.0, 9.0, 8.0, 7.0)
_MAKER = "riskhelper"


class UnknownPaper(ValueError):
    """A paper size nobody cuts."""


def to_pdf(document: Document, paper: str = "A4") -> bytes:
    """The document on A4 or Letter."""
    if paper not in PAPERS:
        raise UnknownPaper(f"paper `{paper}` is not known; choose A4 or Letter")
    pages = Pages(paper)
    lay_all(pages, document.blocks)
    sheets = pages.sheets
    for number, sheet in enumerate(sheets, start=1):
        sheet.extend(_furniture(document.furniture, pages, number, len(sheets)))
    return _drawn(document, paper, sheets)


def _furniture(furniture: Furniture, pages: Pages, number: int, of: int) -> list[Mark]:
    """Head and foot of a page."""
    left_mm, width_mm = pages.left_mm, pages.width_mm
    right_mm, height_mm = left_mm + width_mm, PAPERS[pages.paper][1]
    place = furniture.page.format(number, of)
    place_mm = typefaces()[True].width_mm(place, 11.0)
    head = fitted(f"{furniture.title}   {furniture.record}", width_mm - place_mm - 4.0, 11.0, bold=True)
    marks: list[Mark] = [
        Words(left_mm, 11.5, head, 11.0, bold=True),
        Words(right_mm - place_mm, 11.5, place, 11.0, bold=True),
        Words(left_mm, 15.9, fitted(furniture.subject, width_mm, 9.0), 9.0),
        _marked(" | ".join(furniture.marks), left_mm, width_mm),
        Stroke(left_mm, HEAD_MM - 2.5, right_mm, HEAD_MM - 2.5, 0.4),
        Stroke(left_mm, height_mm - 15.8, right_mm, height_mm - 15.8, 0.4),
    ]
    for row, line in enumerate(furniture.foot):
        marks.append(Words(left_mm, height_mm - 12.0 + 3.8 * row, fitted(line, width_mm, FOOT_PT), FOOT_PT))
    return marks


def _marked(words: str, left_mm: float, width_mm: float) -> Words:
    """What marks every page, in the largest letters in which all of it stands on its line."""
    sizes = (size for size in _MARK_PT if typefaces()[True].width_mm(words, size) <= width_mm)
    size_pt = next(sizes, _MARK_PT[-1])
    return Words(left_mm, 20.2, fitted(words, width_mm, size_pt, bold=True), size_pt, bold=True)


def _drawn(document: Document, paper: str, sheets: list[list[Mark]]) -> bytes:
    made_at = document.made_at.astimezone(UTC)
    title = f"{document.furniture.title} {document.furniture.record}"
    pdf = FPDF(unit="mm", format=PAPERS[paper], enforce_compliance=DocumentCompliance.PDFA_3U)
    pdf.alias_nb_pages("")
    pdf.set_creation_date(made_at)
    pdf.set_title(printable(title))
    pdf.set_creator(_MAKER)
    pdf.set_producer(_MAKER)
    pdf.set_lang(document.language)
    pdf.set_xmp_metadata(_xmp(printable(title), made_at, document.language))
    pdf.set_margins(SIDE_MM, SIDE_MM)
    pdf.set_auto_page_break(False)
    for bold in (False, True):
        pdf.add_font(FAMILY, "B" if bold else "", font_path(bold))
    for sheet in sheets:
        pdf.add_page()
        for mark in sheet:
            _draw(pdf, mark)
    if document.attachment is not None:
        pdf.embed_file(
            bytes=document.attachment.data,
            basename=document.attachment.name,
            desc=printable(document.attachment.what),
            mime_type="application/json",
            associated_file_relationship="Data",
            creation_date=made_at,
            modification_date=made_at,
        )
    return bytes(pdf.output())


def _draw(pdf: FPDF, mark: Mark) -> None:
    match mark:
        case Words() if mark.words:
            pdf.set_font(FAMILY, "B" if mark.bold else "", mark.size_pt)
            pdf.text(mark.x_mm, mark.y_mm, as_seen(shaped(mark.words), covered_by_both()))
        case Stroke():
            pdf.set_line_width(mark.weight_mm)
            pdf.set_dash_pattern(dash=mark.dash_mm, gap=mark.dash_mm * 0.7)
            pdf.line(mark.x1_mm, mark.y1_mm, mark.x2_mm, mark.y2_mm)
        case Shape():
            pdf.set_line_width(mark.weight_mm)
            pdf.set_dash_pattern()
            pdf.set_fill_color(0 if mark.filled else 255)
            pdf.polygon(mark.points, style="DF" if mark.weight_mm else "F")


def _xmp(title: str, made_at: datetime, language: str) -> str:
    """Metadata of our own: fpdf2's would read the clock. The part and level named are those fpdf2 checks for."""
    moment = quoteattr(made_at.strftime("%Y-%m-%dT%H:%M:%S+00:00"))
    return (
        '<x:xmpmeta xmlns:x="adobe:ns:meta/">'
        '<rdf:RDF xmlns:rdf="http://www.w3.org/1999/02/22-rdf-syntax-ns#">'
        '<rdf:Description rdf:about="" xmlns:dc="http://purl.org/dc/elements/1.1/" '
        'xmlns:xmp="http://ns.adobe.com/xap/1.0/" xmlns:pdf="http://ns.adobe.com/pdf/1.3/" '
        'xmlns:pdfaid="http://www.aiim.org/pdfa/ns/id/" '
        f'xmp:CreateDate={moment} xmp:ModifyDate={moment} xmp:CreatorTool="{_MAKER}" pdf:Producer="{_MAKER}">'
        f'<dc:title><rdf:Alt><rdf:li xml:lang="x-default">{escape(title)}</rdf:li></rdf:Alt></dc:title>'
        f"<dc:language><rdf:Bag><rdf:li>{escape(language)}</rdf:li></rdf:Bag></dc:language>"
        "<pdfaid:part>3</pdfaid:part><pdfaid:conformance>U</pdfaid:conformance>"
        "</rdf:Description></rdf:RDF></x:xmpmeta>"
    )
