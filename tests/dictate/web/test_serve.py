"""The page as it is really started, over a real socket."""

import datetime as dt
import os
import re
import socket
import ssl
import subprocess
import sys
import urllib.error
import urllib.request
from collections.abc import Iterator
from pathlib import Path

import pytest

from dictate.errors import DictateError
from dictate.web import serve
from dictate.web.certificate import certificate_for


@pytest.fixture
def started(home: Path) -> Iterator[str]:
    """The link that `dictate review` prints."""
    process = subprocess.Popen(
        [sys.executable, "-m", "dictate", "review", "--no-browser"],
        env={**os.environ, "DICTATE_HOME": str(home), "PYTHONUNBUFFERED": "1"},
        stdout=subprocess.PIPE,
        stderr=subprocess.STDOUT,
        text=True,
    )
    said = ""
    assert process.stdout is not None
    for line in process.stdout:
        said += line
        if found := re.search(r"http://127\.0\.0\.1:\d+/enter\?token=\S+", line):
            yield found.group()
            break
    else:
        pytest.fail(f"it printed no link: {said}")
    process.terminate()
    process.wait(timeout=10)
    process.stdout.close()


def test_the_command_serves_only_this_computer(started: str) -> None:
    with urllib.request.urlopen(started, timeout=20) as answer:
        assert answer.status == 200
        assert "SameSite=strict" in answer.headers["Set-Cookie"]
    port = int(started.split(":")[2].split("/")[0])
    with pytest.raises(urllib.error.HTTPError, match="401"):
        urllib.request.urlopen(f"http://127.0.0.1:{port}/", timeout=20)
    with socket.socket() as other, pytest.raises(OSError):
        other.settimeout(2)
        other.connect((socket.gethostbyname(socket.gethostname()), port))
        if socket.gethostbyname(socket.gethostname()).startswith("127."):
            raise OSError("this computer has no other address to try")


def test_a_taken_port_is_named(database, settings) -> None:
    with socket.socket() as taken:
        taken.bind(("127.0.0.1", 0))
        taken.listen()
        how = serve.How(port=taken.getsockname()[1], browser=False)
        with pytest.raises(DictateError, match=r"port \d+ cannot be used.*choose another"):
            serve.serve(database, settings, how, say=lambda _: None)


def test_the_certificate_is_kept_names_the_address_and_is_renewed(tmp_path: Path) -> None:
    now = dt.datetime(2026, 3, 2, tzinfo=dt.UTC)
    first = certificate_for("192.168.1.5", tmp_path, now=now)
    again = certificate_for("192.168.1.5", tmp_path, now=now + dt.timedelta(days=30))
    later = certificate_for("192.168.1.5", tmp_path, now=now + dt.timedelta(days=365))
    assert first.fingerprint == again.fingerprint != later.fingerprint
    assert first.key.stat().st_mode & 0o077 == 0, "nobody else may read the key"
    # The reference: OpenSSL itself loads the pair, and its fingerprint is the one we show.
    ssl.SSLContext(ssl.PROTOCOL_TLS_SERVER).load_cert_chain(later.certificate, later.key)
    pem = later.certificate.read_text()
    import hashlib

    shown = hashlib.sha256(ssl.PEM_cert_to_DER_cert(pem)).hexdigest().upper()
    assert later.fingerprint.replace(":", "") == shown
