"""A database's own folder: how it begins, and how what it holds is completed from this package."""
