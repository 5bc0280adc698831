"""One donning: from the log of a counter to phases, fit factors of exercises, and the overall value."""
