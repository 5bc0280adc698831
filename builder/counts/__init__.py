"""Logs of a particle counter: reading them, and the chart of a run."""
