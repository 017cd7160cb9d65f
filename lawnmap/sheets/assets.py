"""The texts that the page carries inside itself: Leaflet from its installed package, and our own."""

from __future__ import annotations

import re
from functools import cache
from hashlib import sha256
from importlib.metadata import distribution
from importlib.resources import files
from typing import Final

from lawnmap.errors import OutputError

LEAFLET_HASHES: Final = {
    "leaflet.js": "db49d009c841f5ca34a888c96511ae936fd9f5533e90d8b2c4d57596f4e5641a",
    "leaflet.css": "a7837102824184820dfa198d1ebcd109ff6d0ff9a2672a074b9a1b4d147d04c6",
}
"""SHA-256 of the two files of Leaflet 1.9.4 as its makers published them."""

_OURS: Final = ("cards.js", "labels.js", "tape.js", "walk.js", "chapters.js", "map.js")


@cache
def leaflet(name: str) -> str:
    """Return a file of Leaflet, if it is the one that its makers published.

    Parameters
    ----------
    name : str
        A key of `LEAFLET_HASHES`.

    Raises
    ------
    OutputError
        If the installed file is another.
    """
    held = (files("js_lib_leaflet") / "static" / "js_lib_leaflet" / name).read_bytes()
    if sha256(held).hexdigest() != LEAFLET_HASHES[name]:
        raise OutputError(
            f"the installed {name} is not that of Leaflet 1.9.4",
            mend="install django-js-lib-leaflet 1.9.4.1 again",
        )
    return held.decode("utf-8")


@cache
def leaflet_script() -> str:
    """Return Leaflet with its licence in front and without the address of its source map."""
    text = re.sub(r"//# sourceMappingURL=.*", "", leaflet("leaflet.js"))
    return f"/*!\n{leaflet_licence()}*/\n{text}"


def leaflet_licence() -> str:
    """Return the terms that the package carries and that go with every copy."""
    dist = distribution("django-js-lib-leaflet")
    return dist.read_text("licenses/LICENSE") or dist.read_text("LICENSE") or "Leaflet, BSD 2-Clause\n"


@cache
def style() -> str:
    """Return the style of the page: Leaflet's without its pictures, then ours."""
    bare = re.sub(r"url\(images/[^)]*\)", "none", leaflet("leaflet.css")).replace("\r\n", "\n")
    return f"{bare}\n{own('page.css')}\n{own('map.css')}\n{own('walk.css')}"


@cache
def own_script() -> str:
    """Return our scripts as one, apart from the names of the page."""
    parts = "\n".join(own(name) for name in _OURS)
    return f'(function () {{\n"use strict";\n{parts}}})();\n'


def own(name: str) -> str:
    """Return one of our own files.

    Parameters
    ----------
    name : str
        File name in this folder.
    """
    return (files("lawnmap.sheets") / name).read_text("utf-8").replace("\r\n", "\n")
