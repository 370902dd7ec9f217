"""ALSA fills the terminal where there is no sound card; the player says it in one sentence instead."""

from __future__ import annotations

import contextlib
import ctypes
import ctypes.util
import sys
from typing import Any

_kept: list[Any] = []  # the library holds on to the handler, so it must not be collected


def quiet_alsa() -> None:
    """Keep libasound from writing to stderr; does nothing where there is no libasound. Safe to call twice.

    The handler's type: alsa/error.h, ``snd_lib_error_handler_t`` (the variable arguments are not read).
    """
    if _kept or not sys.platform.startswith("linux"):
        return
    name = ctypes.util.find_library("asound") or "libasound.so.2"
    with contextlib.suppress(OSError, AttributeError):
        library = ctypes.CDLL(name)
        handler = ctypes.CFUNCTYPE(
            None, ctypes.c_char_p, ctypes.c_int, ctypes.c_char_p, ctypes.c_int, ctypes.c_char_p
        )(lambda *_: None)
        library.snd_lib_error_set_handler(handler)
        _kept.extend((library, handler))
