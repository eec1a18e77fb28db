"""A pattern's page as lines: .txt, .docx and .pdf, column by column, each line with its place."""
