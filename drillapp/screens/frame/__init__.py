"""The window around the screens: the shell, keys, errors, the trace, and what Kivy needs first."""
