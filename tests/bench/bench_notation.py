"""Engraving and painting speed: ``python tests/bench/bench_notation.py``. Prints medians."""

from __future__ import annotations

import statistics
import time
from collections.abc import Callable

from drillapp.music import parse
from drillapp.notation import engrave, fit, to_svg

TEXT = "D-DU X-DU D-DU >X-DU | DUDU X-DU -UDU DUXU"
LAYERS = ("letters", "counts", "staff")


def median_ms(call: Callable[[], object], times: int = 60) -> float:
    call()
    taken = []
    for _ in range(times):
        start = time.perf_counter()
        call()
        taken.append(time.perf_counter() - start)
    return statistics.median(taken) * 1000


def main() -> None:
    start = time.perf_counter()
    to_svg(parse(TEXT), LAYERS)
    print(f"first SVG, tables read                {(time.perf_counter() - start) * 1000:7.2f} ms")
    print(
        f"engrave and SVG, two bars of 16ths    {median_ms(lambda: to_svg(parse(TEXT), LAYERS)):7.2f} ms  (target 5)"
    )
    print(f"engrave, two bars of 16ths            {median_ms(lambda: engrave(parse(TEXT), LAYERS)):7.2f} ms")
    print(
        f"fit, two bars of 16ths                {median_ms(lambda: fit(parse(TEXT), LAYERS, 1140, 360)):7.2f} ms"
    )


if __name__ == "__main__":
    main()
