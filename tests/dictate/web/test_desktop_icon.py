"""The icon on the desktop starts this installation, on each system in its own way."""

import configparser
import os
import subprocess
import sys

import pytest

from dictate.errors import StoreError
from dictate.web.computer import icon_path, make_icon


def test_linux_gets_a_desktop_entry(tmp_path):
    """Keys as the Desktop Entry Specification 1.5 wants them; the file may be run."""
    path = make_icon(system="linux", desktop=tmp_path / "Desktop", python="/opt/py 3/python")
    entry = configparser.RawConfigParser()
    entry.optionxform = str
    entry.read(path)
    keys = dict(entry["Desktop Entry"])
    assert keys["Type"] == "Application"
    assert keys["Exec"] == '"/opt/py 3/python" -m dictate'
    assert os.access(path, os.X_OK)


@pytest.mark.skipif(sys.platform == "win32", reason="a shell's file")
def test_a_command_file_starts_the_program(tmp_path):
    """Run with an interpreter that only tells how it was called."""
    told = tmp_path / "my python"
    told.write_text('#!/bin/sh\necho "$@"\n')
    told.chmod(0o755)
    path = make_icon(system="darwin", desktop=tmp_path, python=str(told))
    assert (
        subprocess.run([path], capture_output=True, text=True, check=True).stdout == "-m dictate\n"
    )


def test_windows_gets_a_batch_file(tmp_path):
    path = make_icon(system="win32", desktop=tmp_path, python=r"C:\py\python.exe")
    assert path.name == "dictate.bat"
    assert '"C:\\py\\python.exe" -m dictate' in path.read_text()


def test_a_desktop_that_cannot_be_written_is_named(tmp_path):
    (tmp_path / "file").write_text("")
    with pytest.raises(StoreError, match="icon cannot be written"):
        make_icon(system="linux", desktop=tmp_path / "file")


def test_the_settings_page_offers_it_on_this_computer(browser, tmp_path, monkeypatch):
    monkeypatch.setattr("dictate.web.computer.platformdirs.user_desktop_path", lambda: tmp_path)
    assert "Put an icon on the desktop" in browser.get("/settings").text
    answer = browser.post("/settings/icon")
    assert answer.headers["location"] == "/settings"
    assert icon_path().is_file()
