"""Playing along with a page, nothing asked. Floor 5."""
