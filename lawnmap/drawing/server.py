"""The page's server: a fixed table of files, the sketch, and what can be done with it."""

from __future__ import annotations

import asyncio
import socket
import threading
import time
from dataclasses import dataclass, field
from html import escape
from importlib.resources import files
from typing import TYPE_CHECKING, Final

import uvicorn
from starlette.applications import Starlette
from starlette.concurrency import run_in_threadpool
from starlette.exceptions import HTTPException
from starlette.responses import HTMLResponse, JSONResponse, Response
from starlette.routing import Route

from lawnmap.drawing.forms import FieldError
from lawnmap.drawing.guard import OPENING, Guard, Keys
from lawnmap.drawing.pocket import COLOURS, leaflet_style
from lawnmap.drawing.reshape import cut_in_two, make_one
from lawnmap.drawing.store import ChangedError
from lawnmap.errors import LawnmapError, OutputError
from lawnmap.sheets.assets import leaflet_script
from lawnmap.sheets.webmap import tiles_named

if TYPE_CHECKING:
    from collections.abc import Awaitable, Callable

    from starlette.requests import Request

    from lawnmap.drawing.studio import Studio

IDLE_S: Final = 2 * 3600.0
"""The server stops by itself after this time without a request; an open page asks every minute. [s]"""

KINDS: Final = {
    ".html": "text/html; charset=utf-8",
    ".css": "text/css; charset=utf-8",
    ".js": "text/javascript; charset=utf-8",
    ".svg": "image/svg+xml",
    ".png": "image/png",
    ".jpg": "image/jpeg",
}
EXPORTS: Final = {".gpkg": "application/geopackage+sqlite3", ".dxf": "image/vnd.dxf"}
"""Other formats of the yard, for a GIS and for a drawing program."""

MAP_POLICY: Final = "sandbox allow-scripts allow-modals allow-popups allow-downloads; frame-ancestors 'self'"
"""The map brings its own policy in the page; here it is shut off from the server's cookie as well."""

CHANGED: Final = (
    "The files in the folder have changed since this page read them. Nothing was replaced; both versions are in the "
    'folder "kept".'
)


def static_files() -> dict[str, tuple[bytes, str]]:
    """Return the fixed table of what is served: path to contents and media type."""
    table = {"/leaflet.js": leaflet_script().encode(), "/leaflet.css": leaflet_style().encode()}
    for held in files("lawnmap.drawing").joinpath("page").iterdir():
        if "." + held.name.rpartition(".")[2] in KINDS:
            table["/" if held.name == "index.html" else f"/{held.name}"] = held.read_bytes()
    return {
        path: (held, KINDS["." + path.rpartition(".")[2] if path != "/" else ".html"])
        for path, held in table.items()
    }


@dataclass
class Desk:
    """What answers the page.

    Attributes
    ----------
    studio : Studio
        The sketch.
    keys : Keys
        What a browser must show.
    stop : callable
        Ends the server.
    """

    studio: Studio
    keys: Keys
    stop: Callable[[], None]
    lock: asyncio.Lock = field(default_factory=asyncio.Lock)

    def routes(self) -> list[Route]:
        """Return the paths that are served, and no other is."""
        routes = [
            Route(OPENING, self.opening),
            Route("/state", self.state),
            Route("/alive", self.alive),
            Route("/sketch", self.save, methods=["PUT"]),
            Route("/cut", self.cut, methods=["POST"]),
            Route("/join", self.join, methods=["POST"]),
            Route("/choices", self.choices),
            Route("/choices", self.choose, methods=["PUT"]),
            Route("/plan", self.plan, methods=["POST"]),
            Route("/stop", self.leave, methods=["POST"]),
            Route("/map", self.map),
            Route("/paper", self.paper),
            Route("/yard.geojson", self.yard),
            Route("/phone.html", self.pocket),
            *(Route(f"/yard{ending}", self.exported(ending)) for ending in EXPORTS),
        ]
        return routes + [Route(path, _file(*held)) for path, held in static_files().items()]

    async def opening(self, request: Request) -> Response:
        """Swap the token for the cookie.

        The answer is a page and not a redirect: a strict cookie does not travel with a redirect that another
        page has begun, and the private file that opens the browser is another page.
        """
        if not self.keys.opens(request.query_params.get("token", "")):
            raise HTTPException(403, "the address is not that of this run; start the program again")
        page = (
            '<!doctype html><title>lawnmap</title><link rel="icon" href="data:,">'
            f'<meta http-equiv="refresh" content="0;url={escape(self.keys.origin)}/">'
        )
        answer = HTMLResponse(page)
        answer.set_cookie(self.keys.cookie, self.keys.secret, httponly=True, samesite="strict", path="/")
        return answer

    async def state(self, _: Request) -> Response:
        """Return what the page starts from."""
        async with self.lock:
            return JSONResponse({**await run_in_threadpool(self.studio.state), "colours": COLOURS})

    async def alive(self, _: Request) -> Response:
        """Let the page say that it is open."""
        return JSONResponse({})

    async def save(self, request: Request) -> Response:
        """Save the sketch and answer with the truth about it."""
        held = await request.body()
        async with self.lock:
            try:
                saved = await run_in_threadpool(self.studio.save, held, request.headers.get("if-match"))
            except ChangedError:
                return JSONResponse({"error": CHANGED, "tag": self.studio.store.tag()}, 412)
        return JSONResponse(saved, headers={"ETag": str(saved["tag"])})

    async def cut(self, request: Request) -> Response:
        """Cut a shape in two; nothing is saved by that."""
        return JSONResponse({"shapes": await run_in_threadpool(cut_in_two, await request.body())})

    async def join(self, request: Request) -> Response:
        """Make one shape of two; nothing is saved by that."""
        return JSONResponse({"shape": await run_in_threadpool(make_one, await request.body())})

    async def choices(self, _: Request) -> Response:
        """Return the choices of the job file as forms."""
        async with self.lock:
            return JSONResponse({"sections": await run_in_threadpool(self.studio.forms)})

    async def choose(self, request: Request) -> Response:
        """Put choices into the job file, or say at which field the section refuses one."""
        sent = await request.body()
        async with self.lock:
            try:
                sections = await run_in_threadpool(self.studio.choose, sent)
            except FieldError as fault:
                return JSONResponse({"error": str(fault), "key": fault.key}, 422)
        return JSONResponse({"sections": sections})

    async def plan(self, _: Request) -> Response:
        """Plan the job folder."""
        async with self.lock:
            return JSONResponse(await run_in_threadpool(self.studio.plan))

    async def map(self, _: Request) -> Response:
        """Return the map of the last plan."""
        held = self.studio.store.folder / "plan" / "map.html"
        if not held.is_file():
            raise HTTPException(404, "there is no plan yet")
        return HTMLResponse(
            await run_in_threadpool(held.read_bytes), headers={"Content-Security-Policy": MAP_POLICY}
        )

    async def paper(self, _: Request) -> Response:
        """Return the picture that is drawn on."""
        held = self.studio.store.paper()
        if held is None:
            raise HTTPException(404, "there is no picture")
        return Response(await run_in_threadpool(held.read_bytes), media_type=KINDS[held.suffix])

    async def yard(self, _: Request) -> Response:
        """Return the yard file, to be saved elsewhere."""
        held = await run_in_threadpool(self.studio.store.yard)
        if not held:
            raise HTTPException(404, "there is no yard yet")
        name = 'attachment; filename="yard.geojson"'
        return Response(held, media_type="application/geo+json", headers={"Content-Disposition": name})

    async def pocket(self, _: Request) -> Response:
        """Return the page as one file for a phone."""
        async with self.lock:
            held = await run_in_threadpool(self.studio.pocket)
        name = 'attachment; filename="yard-phone.html"'
        return HTMLResponse(held, headers={"Content-Disposition": name})

    def exported(self, ending: str) -> Callable[[Request], Awaitable[Response]]:
        """Return what hands the yard out in another format.

        Parameters
        ----------
        ending : str
            Of the file, a key of `EXPORTS`.
        """

        async def answer(_: Request) -> Response:
            held = await run_in_threadpool(self.studio.exported, ending)
            name = f'attachment; filename="yard{ending}"'
            return Response(held, media_type=EXPORTS[ending], headers={"Content-Disposition": name})

        return answer

    async def leave(self, _: Request) -> Response:
        """End the server."""
        self.stop()
        return JSONResponse({})


def application(studio: Studio, keys: Keys, stop: Callable[[], None]) -> Guard:
    """Build the guarded application.

    Parameters
    ----------
    studio : Studio
        The sketch.
    keys : Keys
        What a browser must show.
    stop : callable
        Ends the server.
    """
    desk = Desk(studio, keys, stop)
    inner = Starlette(
        routes=desk.routes(), exception_handlers={HTTPException: _refused, LawnmapError: _faulty}
    )
    hosts = tiles_named(studio.imagery).hosts if studio.imagery else ()
    return Guard(inner, keys, hosts)


@dataclass
class Service:
    """A server that is bound and can be run.

    Attributes
    ----------
    studio : Studio
        The sketch.
    idle_s : float
        Stops after this time without a request. [s]
    """

    studio: Studio
    idle_s: float = IDLE_S

    def __post_init__(self) -> None:
        self.socket = socket.socket(socket.AF_INET, socket.SOCK_STREAM)
        self.socket.bind(("127.0.0.1", 0))
        self.socket.listen(64)  # at once, so that a quick browser waits and is not refused
        self.keys = Keys(self.socket.getsockname()[1])
        self.guard = application(self.studio, self.keys, self.stop)
        self.server = uvicorn.Server(
            uvicorn.Config(
                self.guard,
                http="h11",
                ws="none",
                lifespan="off",
                log_level="critical",
                server_header=False,
                timeout_graceful_shutdown=3,
            )
        )

    @property
    def address(self) -> str:
        """The opening address, with its token."""
        return f"{self.keys.origin}{OPENING}?token={self.keys.token}"

    def run(self) -> None:
        """Serve until somebody stops it or nobody asks any more."""
        threading.Thread(target=self._watch, daemon=True).start()
        self.server.run(sockets=[self.socket])

    def stop(self) -> None:
        """End the server after the requests that it has."""
        self.server.should_exit = True

    def _watch(self) -> None:
        while not self.server.should_exit:
            time.sleep(min(1.0, self.idle_s))
            if time.monotonic() - self.guard.last_seen_s > self.idle_s:
                self.stop()


def _file(held: bytes, kind: str) -> Callable[[Request], Awaitable[Response]]:
    async def serve(_: Request) -> Response:
        return Response(held, media_type=kind)

    return serve


async def _refused(_: Request, fault: Exception) -> Response:
    assert isinstance(fault, HTTPException)
    return JSONResponse({"error": fault.detail}, fault.status_code, headers=fault.headers)


async def _faulty(_: Request, fault: Exception) -> Response:
    return JSONResponse({"error": str(fault)}, 507 if isinstance(fault, OutputError) else 422)
