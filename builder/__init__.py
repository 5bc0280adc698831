"""Sealbook: entries of mask fit tests in, a checked and searchable static site out."""
