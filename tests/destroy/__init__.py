"""Trying to lose answers and to break the app: kills, faults of the disk, strange inputs, damage.

The quick part runs with the tests. The long part prints a table: ``python -m tests.destroy``.
"""
