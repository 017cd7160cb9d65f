"""The head of a page that asks for nothing: its scripts and style stand in it, and a policy forbids all others."""

from __future__ import annotations

from base64 import b64encode
from hashlib import sha256
from typing import TYPE_CHECKING

from lawnmap.sheets.elements import Element, put

if TYPE_CHECKING:
    from collections.abc import Sequence


def put_head(head: Element, title: str, scripts: Sequence[str], style: str, *, images: str = "data:") -> None:
    """Fill the head of a page.

    Parameters
    ----------
    head : Element
        The empty head.
    title : str
        What the page is called.
    scripts : sequence of str
        The scripts that the page will hold, and the only ones that may run.
    style : str
        Its style.
    images : str
        Where pictures may come from, as a source list of a content security policy.
    """
    put(head, "meta", attributes={"charset": "utf-8"})
    rules = (
        "default-src 'none'",
        f"script-src {' '.join(_hash(script) for script in scripts)}",
        f"style-src {_hash(style)}",
        f"img-src {images}",
        "base-uri 'none'",
        "form-action 'none'",
    )
    policy = {"http-equiv": "Content-Security-Policy", "content": "; ".join(rules)}
    put(head, "meta", attributes=policy)
    put(head, "meta", attributes={"name": "viewport", "content": "width=device-width, initial-scale=1"})
    put(head, "title", title)
    put(head, "style").text = style


def _hash(text: str) -> str:
    return f"'sha256-{b64encode(sha256(text.encode('utf-8')).digest()).decode('ascii')}'"
