"""The verbs of the `sealbook` command, a module each."""
