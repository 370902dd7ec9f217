"""Fresh patterns without end: musical, playable, with the signs that are asked for and no strange ones."""

from .make import fresh

__all__ = ["fresh"]
