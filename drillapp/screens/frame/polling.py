"""How often the frame loop looks for input: often while strokes are listened for, as usual otherwise.

Kivy stamps a touch when its loop polls; at 60 a second that is some 19 ms late, at 500 a second 2.6 ms.
"""

from __future__ import annotations

from kivy.clock import Clock

USUAL, LISTENING = 60, 500


def listen_closely(closely: bool) -> None:
    """Poll 500 times a second, or 60 again."""
    Clock._max_fps = float(LISTENING if closely else USUAL)
