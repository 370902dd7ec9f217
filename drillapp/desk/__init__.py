"""What the app does for a teacher: the lock, rolls, collecting, figures, diagnoses, class sheets; no Kivy.

Floor 3; no words for the screen.
"""
