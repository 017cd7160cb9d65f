"""How a finished plan looks on a map, a page, a layer file, on paper; it draws and never calculates."""

from lawnmap.sheets.brief import areas_text, brief
from lawnmap.sheets.logged import log_brief
from lawnmap.sheets.picture import draw_picture
from lawnmap.sheets.printing import print_field_sheet, print_quote, print_report
from lawnmap.sheets.writer import write

__all__ = [
    "areas_text",
    "brief",
    "draw_picture",
    "log_brief",
    "print_field_sheet",
    "print_quote",
    "print_report",
    "write",
]
