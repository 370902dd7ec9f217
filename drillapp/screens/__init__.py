"""Kivy: one .py and one .kv a screen, and the widgets that screens share; no rules in here.

Floor 6.
"""
