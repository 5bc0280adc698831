"""Configurations and parts beside each other: scatter, contrasts, verdicts, factorials, pooling."""
