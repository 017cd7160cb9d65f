"""The sheets whose libraries are slow to load, each loaded when it is first asked for."""

from lazy_loader import attach

__getattr__, __dir__, __all__ = attach(
    "lawnmap.sheets", submodules=["pdf_field", "pdf_quote", "pdf_report", "workbook"]
)
