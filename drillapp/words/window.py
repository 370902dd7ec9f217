"""What is said on the command line when no window can be made: what is missing, and what to install."""

from __future__ import annotations

from .language import _, marked

NO_WINDOW: dict[str, str] = {
    "no-screen": marked(
        "no window can be made: there is no screen, since neither DISPLAY nor WAYLAND_DISPLAY is set; start "
        "drillapp in a desktop session, or on a machine without a screen install xvfb (Debian, Ubuntu: apt "
        "install xvfb xauth) and start it with xvfb-run"
    ),
    "no-answer": marked(
        "no window can be made: no screen answers at DISPLAY=%(display)s, or it does not let you in; start "
        "drillapp in a desktop session, or on a machine without a screen install xvfb (Debian, Ubuntu: apt "
        "install xvfb xauth) and start it with xvfb-run"
    ),
    "only-wayland": marked(
        "no window can be made: DISPLAY is not set, and Kivy's window wants X; install XWayland (Debian, "
        "Ubuntu: apt install xwayland) and begin the session anew"
    ),
    "no-libraries": marked(
        "no window can be made: these libraries are missing: %(libraries)s; install them (Debian, Ubuntu: "
        "apt install %(packages)s)"
    ),
    "no-opengl": marked(
        "no window can be made: the screen at DISPLAY=%(display)s offers no OpenGL %(oldest)s (%(reason)s); "
        "install a driver for it (Debian, Ubuntu: apt install libgl1-mesa-dri)"
    ),
    "no-driver": marked(
        "no window can be made: OpenGL %(oldest)s is needed (%(reason)s); install the driver of your "
        "graphics card"
    ),
}
"""by cause, as ``screens.frame.window`` finds it"""
NO_REASON = marked("Kivy gives no reason")


def no_window_said(cause: str, places: dict[str, str]) -> str:
    """A sentence on why there is no window and what to do; an empty ``reason`` is said to be none.

    >>> no_window_said("no-driver", {"oldest": "2.0", "reason": "it is OpenGL 1.4"}).split(";")[0]
    'no window can be made: OpenGL 2.0 is needed (it is OpenGL 1.4)'
    """
    if not places.get("reason", "given"):
        places = {**places, "reason": _(NO_REASON)}
    return _(NO_WINDOW[cause]) % places
