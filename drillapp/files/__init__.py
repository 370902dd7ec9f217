"""Files: written whole or not at all, and where what ships with the app lies.

Floor 1: imports nothing of ours.
"""
