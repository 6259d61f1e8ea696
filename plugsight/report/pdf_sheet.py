"""The paper: fonts, margins, head and foot of every page, and the few kinds of text the report uses."""

import unicodedata
from collections.abc import Iterable
from enum import StrEnum
from importlib.resources import as_file, files

from fpdf import FPDF
from fpdf.enums import MethodReturnValue, XPos, YPos
from fpdf.fonts import TTFFont

from plugsight.report.draw_pdf import FAMILY, draw, rgb
from plugsight.report.drawing import Colour, Disc, Drawing, Ink
from plugsight.report.summary import INVENTED_MARK

MM_PER_PT = 25.4 / 72


class Paper(StrEnum):
    """Paper sizes."""

    A4 = "A4"
    LETTER = "Letter"


class Sheet(FPDF):
    """An upright page with its head and foot; all lengths in mm, text sizes in points."""

    def __init__(self, paper: Paper, *, head: str, foot: str, invented: bool) -> None:
        super().__init__(orientation="portrait", unit="mm", format=paper.value.lower())
        self._head, self._foot, self._invented = head, foot, invented
        with as_file(files("plugsight.report") / "fonts") as folder:
            self.add_font(FAMILY, "", folder / "SourceSansPro-Regular.ttf")
            self.add_font(FAMILY, "B", folder / "SourceSansPro-Semibold.ttf")
        self.set_margins(16, 21, 16)
        self.set_auto_page_break(auto=False)
        self.c_margin = 0
        self.set_lang("en-GB")
        self.set_font(FAMILY, "", 9)

    @property
    def left(self) -> float:
        """Left edge of the text."""
        return float(self.l_margin)

    @property
    def wide(self) -> float:
        """Width of the text."""
        return float(self.epw)

    @property
    def floor(self) -> float:
        """Lowest y that text may reach."""
        return float(self.h) - 21.0

    def normalize_text(self, text: str) -> str:
        """Bring text to the signs that the font has; what it lacks becomes ``?``."""
        face = self.fonts[FAMILY]
        known = face.cmap if isinstance(face, TTFFont) else {}
        composed = unicodedata.normalize("NFC", text)
        return super().normalize_text("".join(c if ord(c) in known or c == "\n" else "?" for c in composed))

    def header(self) -> None:
        """Draw the head: whose paper it is and, for demo data, that it is invented."""
        self.words(self._head, self.left, 10, self.wide * 0.55, size=8, ink=Ink.SOFT, max_lines=1)
        if self._invented:
            self.set_font(FAMILY, "B", 8)
            width = self.get_string_width(INVENTED_MARK) + 5
            self.set_draw_color(*rgb(Ink.TEXT))
            self.set_line_width(0.5)
            self.rect(self.left + self.wide - width, 8.6, width, 6.2)
            self.set_text_color(*rgb(Ink.TEXT))
            self.text(self.left + self.wide - width + 2.5, 12.7, INVENTED_MARK)
        self.set_xy(self.left, self.t_margin)

    def footer(self) -> None:
        """Draw the foot: the honest sentence and the page number."""
        y = self.h - 16.5
        self.rule(y)
        self.words(self._foot, self.left, y + 2.2, self.wide - 26, size=7.5, ink=Ink.SOFT)
        self.set_font(FAMILY, "B", 8)
        self.set_text_color(*rgb(Ink.TEXT))
        # the total is filled in at the end, so its width is taken as two figures
        width = self.get_string_width(f"page {self.page_no()} of 00")
        self.set_xy(self.left + self.wide - width, y + 1.8)
        self.cell(width, 4, f"page {self.page_no()} of {{nb}}", align="L")

    def rule(self, y: float, ink: Colour = Ink.HAIR, width: float = 0.25) -> None:
        """Draw a line across the text."""
        self.set_draw_color(*rgb(ink))
        self.set_line_width(width)
        self.line(self.left, y, self.left + self.wide, y)

    def words(
        self,
        text: str,
        x: float,
        y: float,
        width: float,
        *,
        size: float = 9.0,
        bold: bool = False,
        ink: Colour = Ink.TEXT,
        max_lines: int | None = None,
    ) -> float:
        """Write wrapped text with its top left at (x, y); return the y below it."""
        self.set_font(FAMILY, "B" if bold else "", size)
        self.set_text_color(*rgb(ink))
        if max_lines == 1:
            text = self._cut(text, width)
        self.set_xy(x, y)
        self.multi_cell(width, self.pitch(size), text, align="L", new_x=XPos.LEFT, new_y=YPos.NEXT)
        return float(self.get_y())

    def height(self, text: str, width: float, *, size: float = 9.0, bold: bool = False) -> float:
        """Return the height in mm that ``words`` would take."""
        self.set_font(FAMILY, "B" if bold else "", size)
        pitch = self.pitch(size)
        lines = self.multi_cell(width, pitch, text, align="L", dry_run=True, output=MethodReturnValue.LINES)
        return pitch * len(lines) if isinstance(lines, list) else pitch

    @staticmethod
    def pitch(size: float) -> float:
        """Line pitch in mm of a text size."""
        return size * MM_PER_PT * 1.32

    def keep(self, height: float) -> None:
        """Begin a new page when ``height`` mm no longer fit on this one."""
        if self.get_y() + height > self.floor:
            self.add_page()

    def heading(self, text: str, *, need: float = 30.0) -> None:
        """Write a section heading that stays with at least ``need`` mm of what follows."""
        self.keep(need + 12)
        y = self.get_y() + (5 if self.get_y() > self.t_margin + 1 else 0)
        self.rule(y, Ink.ACCENT, 0.6)
        self.start_section(text)
        self.set_y(self.words(text, self.left, y + 2, self.wide, size=13, bold=True, ink=Ink.ACCENT) + 1.5)

    def bullets(self, items: Iterable[str], x: float, width: float, *, size: float = 9.0) -> None:
        """Write a list from the current y on, each item kept whole."""
        for item in items:
            self.keep(self.height(item, width - 4, size=size) + 1)
            y = self.get_y()
            self.mark(Drawing(1, 1, (Disc(0.6, 0, 0.6, fill=Ink.ACCENT),), ""), x, y + self.pitch(size) / 2)
            self.set_y(self.words(item, x + 4, y, width - 4, size=size) + 0.9)

    def mark(self, drawing: Drawing, x: float, y: float) -> None:
        """Draw a drawing with its top left at (x, y)."""
        draw(self, drawing, x, y)

    def _cut(self, text: str, width: float) -> str:
        if self.get_string_width(text) <= width:
            return text
        while text and self.get_string_width(text + "…") > width:
            text = text[:-1]
        return text + "…"
