"""What contributors write: models and vocabulary, reading with positions, rules across files, writing."""
