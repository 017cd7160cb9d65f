"""Who is let in, probed over raw sockets: what no browser would send must be refused as well.

Status codes: RFC 9110 (403, 412, 413, 421, 422).
"""

import json
import socket
import stat
import threading
from contextlib import suppress

import pytest

from lawnmap.drawing import Service
from lawnmap.drawing.guard import LARGEST_BODY, OPENING
from lawnmap.drawing.launch import redirect_file
from lawnmap.drawing.sketch import read_sketch


def raw(service, text, body=b""):
    with socket.create_connection(("127.0.0.1", service.keys.port), timeout=20) as line:
        # the answer to a body that is too large may come before its end
        with suppress(BrokenPipeError, ConnectionResetError):
            line.sendall(text.replace("\n", "\r\n").encode() + b"\r\n\r\n" + body)
        answer = b""
        with suppress(ConnectionResetError):
            while piece := line.recv(65536):
                answer += piece
    head, _, content = answer.partition(b"\r\n\r\n")
    return int(head.split(b" ", 2)[1]) if head else 0, head.decode().lower(), content


def ask(service, path="/state", method="GET", body=b"", *, drop=(), **extra):
    keys = service.keys
    headers = {
        "Host": f"127.0.0.1:{keys.port}",
        "Cookie": f"other=1; {keys.cookie}={keys.secret}",
        "Connection": "close",
    }
    if method != "GET":
        headers |= {
            "Origin": keys.origin,
            "Content-Type": "application/json",
            "Content-Length": str(len(body)),
        }
    headers |= {name.replace("_", "-"): value for name, value in extra.items()}
    lines = [f"{name}: {value}" for name, value in headers.items() if name not in drop]
    return raw(service, "\n".join([f"{method} {path} HTTP/1.1", *lines]), body)


def test_the_page_and_its_own_requests_are_let_in(service):
    assert ask(service)[0] == 200
    for path in ("/", "/main.js", "/page.css", "/leaflet.js", "/leaflet.css", "/paper"):
        status, head, content = ask(service, path)
        assert (status, bool(content)) == (200, True)
        for line in ("nosniff", "no-referrer", "no-store", "default-src 'none'", "same-origin"):
            assert line in head, f"{path} without {line}"
        assert "access-control" not in head
        assert "unsafe" not in head


def test_it_listens_to_this_machine_only(service):
    assert service.socket.getsockname()[0] == "127.0.0.1"


@pytest.mark.parametrize(
    "host", ["127.0.0.1", "127.0.0.1:1", "evil.example", "localhost.evil.example:80", ""]
)
def test_other_hosts_are_misdirected(service, host):
    assert ask(service, Host=host)[0] == 421


def test_without_a_host_or_with_two(service):
    assert ask(service, drop=("Host",))[0] in {400, 421}
    keys = service.keys
    two = f"GET / HTTP/1.1\nHost: 127.0.0.1:{keys.port}\nHost: evil.example\nCookie: {keys.cookie}={keys.secret}"
    assert raw(service, f"{two}\nConnection: close")[0] in {400, 421}


@pytest.mark.parametrize("cookie", ["", "x", "lawnmap=1", "=;;;=", "\x80"])
def test_without_the_cookie(service, cookie):
    assert ask(service, Cookie=cookie)[0] == 403
    assert ask(service, Cookie=f"{service.keys.cookie}={service.keys.token}")[0] == 403


def test_nothing_but_the_opening_is_had_without_the_cookie(service):
    paths = [route.path for route in service.guard.app.routes if route.path != OPENING]
    assert {"/", "/main.js", "/state", "/choices", "/phone.html", "/yard.dxf", "/map"} <= set(paths)
    for path in paths:
        assert ask(service, path, drop=("Cookie",))[0] == 403


@pytest.mark.parametrize("origin", ["null", "http://evil.example", "http://127.0.0.1", "https://127.0.0.1:1"])
def test_other_origins(service, origin):
    assert ask(service, Origin=origin)[0] == 403
    assert ask(service, "/sketch", "PUT", b"{}", Origin=origin)[0] == 403


@pytest.mark.parametrize("site", ["cross-site", "same-site"])
def test_requests_begun_by_another_page(service, site):
    assert ask(service, Sec_Fetch_Site=site)[0] == 403


def test_a_write_says_where_from_and_is_json(service):
    assert ask(service, "/sketch", "PUT", b"{}", drop=("Origin",))[0] == 403
    for kind in ("text/plain", "application/x-www-form-urlencoded", ""):
        assert ask(service, "/sketch", "PUT", b"{}", Content_Type=kind)[0] == 403


def test_declared_and_real_size_are_capped(service):
    assert ask(service, "/sketch", "PUT", b"", Content_Length="5000000000")[0] == 413
    chunk = b"10000\r\n" + b"x" * 0x10000 + b"\r\n"
    body = chunk * (LARGEST_BODY // 0x10000 + 2) + b"0\r\n\r\n"
    chunked = ask(service, "/sketch", "PUT", body, drop=("Content-Length",), Transfer_Encoding="chunked")
    assert chunked[0] in {413, 0}
    assert ask(service)[0] == 200


@pytest.mark.parametrize(
    "path",
    [
        "/../job.toml",
        "/..%2fsketch.json",
        "/%2e%2e/%2e%2e/etc/passwd",
        "//etc/passwd",
        "/sketch.json",
        "/job.toml",
        "/page/main.js",
    ],
)
def test_only_the_fixed_table_is_served(service, path):
    assert ask(service, path)[0] in {404, 405}


@pytest.mark.parametrize(
    "body", [b"", b"{", b"[" * 200_000, b"NaN", b"null", b'{"lawnmap_sketch": NaN}', b"\xff"]
)
def test_junk_is_told_and_changes_nothing(service, body):
    before = service.studio.store.sketch()
    status, _, content = ask(service, "/sketch", "PUT", body, If_Match=service.studio.store.tag())
    assert status == 422
    assert "no sketch of this version" in json.loads(content)["error"]
    assert service.studio.store.sketch() == before


@pytest.mark.parametrize(
    "body",
    [
        b"",
        b"[" * 200_000,
        b"null",
        b'{"section": "rig", "values": {"swath": ' + b"[" * 9000 + b"]" * 9000 + b"}}",
    ],
)
def test_junk_for_a_choice_is_told_and_changes_nothing(service, body):
    status, _, content = ask(service, "/choices", "PUT", body)
    assert status == 422
    assert "those are no choices" in json.loads(content)["error"]
    assert not (service.studio.store.folder / "job.toml").exists()


def test_a_choice_nested_too_deeply(service):
    body = json.dumps({"section": "rig", "values": {"zone_directions": "[" * 5000}}).encode()
    status, _, content = ask(service, "/choices", "PUT", body)
    assert (status, json.loads(content)["key"]) == (422, "zone_directions")


def test_save_with_the_tag_and_refusal_without(service):
    store = service.studio.store
    sketch = read_sketch(store.sketch()).model_copy(update={"name": "Other"}).text()
    assert ask(service, "/sketch", "PUT", sketch)[0] == 412
    assert ask(service, "/sketch", "PUT", sketch, If_Match='"old"')[0] == 412
    status, head, content = ask(service, "/sketch", "PUT", sketch, If_Match=store.tag())
    assert status == 200
    assert json.loads(content)["tag"] == store.tag()
    assert store.tag() in head
    assert "no scale yet" in json.loads(content)["truth"]["fault"]
    assert store.sketch() == sketch


def test_token_is_swapped_for_a_strict_cookie(service):
    keys = service.keys
    assert ask(service, "/open?token=wrong", drop=("Cookie",))[0] == 403
    assert ask(service, "/open", drop=("Cookie",))[0] == 403
    # the private file that opens the browser counts as another page
    status, head, content = ask(
        service, f"/open?token={keys.token}", drop=("Cookie",), Sec_Fetch_Site="cross-site"
    )
    assert status == 200
    assert "httponly" in head
    assert "samesite=strict" in head
    assert keys.token.lower() not in head
    assert keys.token.encode() not in content


def test_nothing_to_plan_and_no_map_is_told(service):
    assert ask(service, "/map")[0] == 404
    status, _, content = ask(service, "/plan", "POST", b"{}")
    assert (status, "no lawn to plan" in content.decode()) == (422, True)


def test_other_methods(service):
    for method in ("DELETE", "PATCH", "OPTIONS", "POST"):
        assert ask(service, "/sketch", method)[0] == 405


def test_opening_file_is_private():
    path = redirect_file('http://127.0.0.1:1/open?token="><script>')
    try:
        assert stat.S_IMODE(path.stat().st_mode) == 0o600
        assert "<script>" not in path.read_text("utf-8")
    finally:
        path.unlink()


def test_it_stops_when_asked(service):
    assert ask(service, "/stop", "POST", b"{}")[0] == 200
    assert service.server.should_exit


def test_it_stops_when_nobody_asks_any_more(studio):
    made = Service(studio, idle_s=0.3)
    thread = threading.Thread(target=made.run, daemon=True)
    thread.start()
    thread.join(10)
    made.socket.close()
    assert not thread.is_alive()
