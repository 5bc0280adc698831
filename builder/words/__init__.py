"""Everything said to people: labels, numbers, chances, verdicts, sentences."""
