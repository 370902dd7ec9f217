"""Exchange with other programs: MusicXML and MIDI, in and out.

Floor 3.
"""

from __future__ import annotations

from drillapp.interop.errors import InteropError

__all__ = ["InteropError"]
