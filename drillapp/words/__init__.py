"""Sentences from codes and numbers, whole, in each language. Floor 4.

Pure rooms give codes and numbers; here each becomes a whole sentence with named places, never one glued from
pieces, since no two languages glue alike. Sentences are English in the code and go through gettext.
"""
