"""New entries: from flat fields to records, faces filled in from earlier tests, checked, written all or none."""
