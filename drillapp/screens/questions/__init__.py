"""The drill: a question on screen, its answer, and the end of a sitting."""
