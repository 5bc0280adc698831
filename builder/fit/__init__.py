"""The science: pure functions on arrays and on the tidy table. Knows no files and no pages."""
