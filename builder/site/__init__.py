"""What is published: the dataset, charts, page templates and downloads. Knows nothing of MkDocs."""
