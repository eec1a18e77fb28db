"""A pattern's workbook: files to cells with addresses, cells to a pattern."""

import os

# openpyxl takes lxml where it finds it: with one parser, what is tested is what runs.
os.environ.setdefault("OPENPYXL_LXML", "False")
