"""A pattern's workbook: files to cells with addresses, cells to a pattern."""
