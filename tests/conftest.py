"""One folder for each session of tests: what takes long to make is made once for all workers."""

from __future__ import annotations

import os
import shutil
import signal
import sys
import tempfile

import pytest
from hypothesis import settings

from tests.session import FOLDER

# How long an example takes says how busy the machine is.
settings.register_profile("toerail", deadline=None)
settings.load_profile("toerail")


@pytest.fixture(scope="session")
def running():
    """Open one browser for all tests of a worker; each page has a context of its own."""
    from tests.browser import browser

    with browser() as made:
        yield made


@pytest.fixture(scope="session", autouse=True)
def solvers_as_they_stand():
    """Compile nothing in the process of the tests, which keeps boats from one test to another; workers do."""
    from geom.fleet import many

    many.FEW = sys.maxsize


def pytest_configure(config):
    """Open the folder that the session's workers share; they inherit its name, commands put their parts there."""
    # A shell starts background processes with SIGINT ignored, and the commands under test would inherit that.
    if signal.getsignal(signal.SIGINT) is signal.SIG_IGN:
        signal.signal(signal.SIGINT, signal.default_int_handler)
    if FOLDER not in os.environ:
        config.folder_of_session = os.environ[FOLDER] = tempfile.mkdtemp(prefix="toerail-tests-")
        os.environ["XDG_CACHE_HOME"] = f"{os.environ[FOLDER]}/cache"


def pytest_unconfigure(config):
    """Take the folder away where it was opened."""
    if folder := getattr(config, "folder_of_session", None):
        del os.environ[FOLDER]
        shutil.rmtree(folder, ignore_errors=True)
