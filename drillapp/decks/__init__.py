"""Deck files: read, write, check, find, the user's folder, drafts, sharing. Floor 2."""
