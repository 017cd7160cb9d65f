"""The running program is killed by SIGKILL in the midst of its saves: what it said to be saved is there, and whole."""

import http.client
import json
import random
import signal
import subprocess
import sys
import time
from pathlib import Path
from urllib.parse import urlsplit

import pytest

import lawnmap
from lawnmap.drawing import Sketch, grid, open_folder
from lawnmap.drawing.sketch import Shape, read_sketch

ROOT = Path(__file__).parents[2]
SAVES, KILLS = 200, 4


class Tab:
    """What a browser's tab does, over HTTP."""

    def __init__(self, folder):
        command = [sys.executable, "-m", "lawnmap", "draw", "--no-browser", str(folder)]
        self.program = subprocess.Popen(
            command, cwd=folder, env={"PYTHONPATH": str(ROOT), "PATH": ""}, text=True,
            stdout=subprocess.PIPE, stderr=subprocess.DEVNULL,
        )  # fmt: skip
        address = urlsplit(self.program.stdout.readline().rpartition(" ")[2].strip())
        self.call = http.client.HTTPConnection(address.hostname, address.port, timeout=20)
        self.call.request("GET", f"{address.path}?{address.query}")
        answer = self.call.getresponse()
        answer.read()
        self.headers = {
            "Cookie": answer.getheader("set-cookie").partition(";")[0],
            "Origin": f"http://{address.netloc}",
            "Content-Type": "application/json",
        }
        self.tag = self.asked("GET", "/state")["tag"]

    def asked(self, method, path, body=None):
        self.call.request(method, path, body, self.headers | ({"If-Match": self.tag} if body else {}))
        answer = self.call.getresponse()
        assert answer.status == 200
        return json.loads(answer.read())

    def save(self, number):
        self.tag = self.asked("PUT", "/sketch", numbered(number).text())["tag"]

    def killed_while_saving(self, number, wait_s):
        self.call.request("PUT", "/sketch", numbered(number).text(), self.headers | {"If-Match": self.tag})
        time.sleep(wait_s)
        self.program.send_signal(signal.SIGKILL)
        self.program.wait(20)
        self.program.stdout.close()
        self.call.close()


def numbered(number):
    """A sketch that tells its number by the name of its zone and by its area."""
    ring = ((0.0, 0.0), (10.0, 0.0), (10.0, 1.0 + number), (0.0, 1.0 + number))
    zone = Shape(id="s1", role="lawn", form="polygon", points=ring, density="thin", name=str(number))
    return Sketch(paper=grid("300 m x 300 m").sheet, shapes=(zone,))


@pytest.mark.skipif(sys.platform == "win32", reason="Windows has no SIGKILL")
def test_nothing_is_lost_over_200_saves_and_four_kills(tmp_path):
    folder = tmp_path / "job"
    open_folder(folder, numbered(0))
    chance = random.Random(4)
    number = 0
    for _ in range(KILLS):
        tab = Tab(folder)
        for _ in range(SAVES // KILLS - 1):
            number += 1
            tab.save(number)
        tab.killed_while_saving(number + 1, chance.uniform(0, 0.04))
        found = int(read_sketch((folder / "sketch.json").read_bytes()).shapes[0].name)
        assert found in {number, number + 1}
        area_m2 = lawnmap.take_off(lawnmap.read(folder / "yard.geojson")).net_area_m2
        assert round(area_m2 / 10) - 1 in {number, number + 1}
        assert lawnmap.job.read_choices(folder).source.file == "yard.geojson"
        number = found
    assert not (folder / "kept").exists()  # nobody else wrote
