"""The database as a whole: the tidy table of its tests and everything computed from it. Figures, no sentences."""
