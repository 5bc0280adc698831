"""Medians, ranges and shares of a configuration, with readings that are only "at least"."""
