"""A counter's log as it was written: its text, its layout, its numbers, times and words."""
