"""The page as one HTML file that draws from disk, without a server or a network: for a phone."""

from __future__ import annotations

import base64
import json
import re
from hashlib import sha256
from importlib.resources import files
from typing import TYPE_CHECKING, Final

from lawnmap.sheets.assets import leaflet, leaflet_script
from lawnmap.sheets.palette import DENSITY, OBSTACLE, WATER

if TYPE_CHECKING:
    from lawnmap.drawing.sketch import Sketch

COLOURS: Final = {"density": DENSITY, "obstacle": OBSTACLE, "water": WATER}

_NAMED: Final = re.compile(r'^import \{ ([^}]*) \} from "\./(\w+)\.js";$', re.MULTILINE)
_WHOLE: Final = re.compile(r'^import \* as (\w+) from "\./(\w+)\.js";$', re.MULTILINE)
_EXPORT: Final = re.compile(r"^export ((?:async )?function|class|const) (\w+)", re.MULTILINE)
_FIRST: Final = "main"


def pocket_page(sketch: Sketch, picture: bytes) -> str:
    """Write the page with a sketch and its picture inside.

    Parameters
    ----------
    sketch : Sketch
        What to begin with.
    picture : bytes
        PNG or JPEG; empty for a blank sheet.

    Returns
    -------
    str
        HTML that makes no request and runs no script but its own: its Content-Security-Policy names them by
        their hashes (W3C, *Content Security Policy Level 3*, section 8).
    """
    kind = "png" if picture.startswith(b"\x89PNG") else "jpeg"
    data = f"data:image/{kind};base64,{base64.b64encode(picture).decode()}" if picture else None
    held = {
        "key": f"lawnmap-{sha256(picture + sketch.paper.model_dump_json().encode()).hexdigest()[:16]}",
        "sketch": sketch.model_dump(mode="json"),
        "paper": data,
        "colours": COLOURS,
    }
    styles = (leaflet_style(), own("page.css"))
    scripts = (leaflet_script().replace("\r\n", "\n"), bundle())
    policy = (
        f"default-src 'none'; img-src data: blob:; script-src {_hashes(scripts)}; style-src {_hashes(styles)}; "
        "base-uri 'none'; form-action 'none'"
    )
    head = "\n".join(
        [
            f'<meta http-equiv="Content-Security-Policy" content="{policy}">',
            *(f"<style>{text}</style>" for text in styles),
        ]
    )
    inside = json.dumps(held, ensure_ascii=False).replace("<", "\\u003c")
    tail = "\n".join(
        [
            f'<script type="application/json" id="held">{inside}</script>',
            *(f"<script>{text}</script>" for text in scripts),
        ]
    )
    page = re.sub(r'<link rel="stylesheet"[^>]*>\n|<script [^>]*></script>\n', "", own("index.html"))
    page = page.replace("</head>", head + "\n</head>", 1)
    page = page.replace("<body>", '<body class="pocket">', 1)
    return page.replace("</body>", tail + "\n</body>", 1)


def bundle() -> str:
    """Return the page's modules as one script, the link to the folder exchanged for the phone's own keeping."""
    order: list[str] = []
    _gather(_FIRST, order)
    return "(() => {\nconst modules = {};\n" + "\n".join(_wrapped(name) for name in order) + "\n})();\n"


def _module(name: str) -> str:
    return own("pocket.js" if name == "link" else f"{name}.js")


def _gather(name: str, order: list[str]) -> None:
    """Add a module after all that it imports."""
    text = _module(name)
    for match in sorted((*_NAMED.finditer(text), *_WHOLE.finditer(text)), key=lambda match: match.start()):
        if match[2] not in order:
            _gather(match[2], order)
    if name not in order:
        order.append(name)


def _wrapped(name: str) -> str:
    text = _module(name)
    names = [match[2] for match in _EXPORT.finditer(text)]
    text = _EXPORT.sub(
        r"\1 \2", _WHOLE.sub(r"const \1 = modules.\2;", _NAMED.sub(r"const { \1 } = modules.\2;", text))
    )
    return f'modules.{name} = (() => {{\n"use strict";\n{text}\nreturn {{ {", ".join(names)} }};\n}})();'


def leaflet_style() -> str:
    """Return Leaflet's style without its pictures, which the page does not use."""
    return re.sub(r"url\(images/[^)]*\)", "none", leaflet("leaflet.css")).replace("\r\n", "\n")


def own(name: str) -> str:
    """Return one of the page's own files.

    Parameters
    ----------
    name : str
        File name in the folder ``page``.
    """
    return (files("lawnmap.drawing") / "page" / name).read_text("utf-8").replace("\r\n", "\n")


def _hashes(texts: tuple[str, ...]) -> str:
    return " ".join(f"'sha256-{base64.b64encode(sha256(text.encode()).digest()).decode()}'" for text in texts)
