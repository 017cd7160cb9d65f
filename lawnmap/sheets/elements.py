"""Markup built as a tree, so that a word of the user can only ever become a text node."""

from __future__ import annotations

import re
from typing import TYPE_CHECKING, Final
from xml.etree.ElementTree import Element, SubElement, tostring

if TYPE_CHECKING:
    from collections.abc import Mapping

_UNSHOWN: Final = re.compile("[\x00-\x08\x0b\x0c\x0e-\x1f\x7f-\x9f\ud800-\udfff\ufffe\uffff]")


def plain(text: str) -> str:
    r"""Return text with everything that no page can hold put as the replacement character.

    Examples
    --------
    >>> plain("a\x00b")
    'a\ufffdb'
    """
    return _UNSHOWN.sub("\ufffd", text)


def put(
    parent: Element, tag: str, text: str = "", css: str = "", attributes: Mapping[str, str] | None = None
) -> Element:
    """Append an element and return it.

    Parameters
    ----------
    parent : Element
        Where it goes.
    tag : str
        Its name.
    text : str
        Its text, shown as it is.
    css : str
        Its classes.
    attributes : mapping, optional
        Further attributes.
    """
    found = SubElement(parent, tag, {key: plain(value) for key, value in (attributes or {}).items()})
    if css:
        found.set("class", css)
    if text:
        found.text = plain(text)
    return found


def markup(root: Element) -> str:
    """Write a tree as HTML."""
    return tostring(root, encoding="unicode", method="html")


__all__ = ["Element", "markup", "plain", "put"]
