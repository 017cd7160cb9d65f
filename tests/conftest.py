"""What all tests share."""

import os
import shutil

import pytest
from hypothesis import HealthCheck, settings
from playwright.sync_api import sync_playwright

# a slow or busy machine is no fault of the code: what is timed is timed by the benchmarks
settings.register_profile("unhurried", deadline=None, suppress_health_check=[HealthCheck.too_slow])
settings.load_profile("unhurried")


FLAGS = [
    "--no-sandbox",
    "--disable-gpu",
    "--disable-quic",
    "--no-first-run",
    "--disable-background-networking",
    "--disable-component-update",
    "--disable-sync",
]


@pytest.fixture(scope="session")
def chromium():
    """Path of Chromium; without one a user's machine skips, and a machine that checks changes fails."""
    path = os.environ.get("CHROMIUM") or shutil.which("chromium") or shutil.which("chromium-browser")
    if path is None and not os.environ.get("CI"):
        pytest.skip("no Chromium found: install it, or name it in the environment variable CHROMIUM")
    assert path, "no Chromium found"
    return path


@pytest.fixture(scope="module")
def browser(chromium):
    """Chromium without a network of its own; closed before the next file, which may run a loop of its own."""
    with sync_playwright() as player:
        started = player.chromium.launch(executable_path=chromium, args=FLAGS)
        yield started
        started.close()
