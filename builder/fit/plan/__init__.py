"""A run of donnings before it is done: which combinations, in which order, and what they can tell."""
