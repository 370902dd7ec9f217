"""Choosing a file, a folder or a row."""
