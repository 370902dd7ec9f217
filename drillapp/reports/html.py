"""A report as one HTML file that needs nothing else: its drawings are SVG inside it, there is no script."""

from __future__ import annotations

from functools import cache
from itertools import count
from pathlib import Path

from jinja2 import Environment, StrictUndefined, Template
from markupsafe import Markup

from drillapp.notation.display import DisplayList
from drillapp.notation.own_sign import SIGNS, sign_page
from drillapp.notation.painters import svg
from drillapp.words.language import code

from .page import Page

_SPACE, _SIGN_SPACE = 6.0, 5.0


def html(page: Page) -> bytes:
    """The report as the bytes of an HTML file (UTF-8)."""
    numbers = count(1)

    def drawing(display: DisplayList, space: float = _SPACE) -> Markup:
        return Markup(svg.paint(display, space=space, prefix=f"d{next(numbers)}", margin=0.2).strip())

    def sign(feature: str) -> Markup:
        return drawing(sign_page(feature), _SIGN_SPACE) if feature in SIGNS else Markup("")

    return _template().render(page=page, language=code(), drawing=drawing, sign=sign).encode()


@cache
def _template() -> Template:
    environment = Environment(
        autoescape=True, undefined=StrictUndefined, trim_blocks=True, lstrip_blocks=True
    )
    text = Path(__file__).with_name("report.html").read_text(encoding="utf-8")
    return environment.from_string(text)
