"""What the app does for a teacher: the desk's lock, rolls, collecting, what a class reads; no Kivy.

Floor 3.
"""
