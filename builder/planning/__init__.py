"""From what somebody wants to try on a mask to a run sheet in words, and to entries waiting for their results."""
