"""Making very many objects at once, yards or the drawings that they come from."""

from __future__ import annotations

import gc
from contextlib import contextmanager
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Iterator


@contextmanager
def collector_paused() -> Iterator[None]:
    """Hold Python's cycle collector: what is made all stays, and each of its rounds would go over all of it again."""
    running = gc.isenabled()
    gc.disable()
    try:
        yield
    finally:
        if running:
            gc.enable()
