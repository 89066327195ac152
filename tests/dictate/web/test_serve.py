"""The page as it is really started, over a real socket."""

import datetime as dt
import os
import re
import socket
import ssl
import subprocess
import sys
import urllib.error
import urllib.parse
import urllib.request
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

import pytest

from dictate.errors import DictateError
from dictate.web import phones, serve
from dictate.web.certificate import certificate_for


@contextmanager
def reviewing(home: Path, *more: str, until: str) -> Iterator[str]:
    """Run `dictate review` and give what it printed, as soon as that holds a pattern."""
    process = subprocess.Popen(
        [sys.executable, "-m", "dictate", "review", "--no-browser", *more],
        env={**os.environ, "DICTATE_HOME": str(home), "PYTHONUNBUFFERED": "1"},
        stdout=subprocess.PIPE,
        stderr=subprocess.STDOUT,
        text=True,
    )
    said = ""
    assert process.stdout is not None
    try:
        for line in process.stdout:
            said += line
            if re.search(until, said):
                yield said
                return
        pytest.fail(f"it did not print {until}: {said}")
    finally:
        process.terminate()
        process.wait(timeout=10)
        process.stdout.close()


@pytest.fixture
def started(home: Path) -> Iterator[str]:
    """The link that `dictate review` prints."""
    pattern = r"http://127\.0\.0\.1:\d+/enter\?token=\S+"
    with reviewing(home, until=pattern) as said:
        yield re.search(pattern, said).group()


def test_a_phone_pairs_over_https_with_the_code_shown(home: Path) -> None:
    """The certificate that is made verifies for the address that is shown; the code works once."""
    try:
        address = phones.lan_address()
    except DictateError as error:
        pytest.skip(error.line)
    with reviewing(home, "--lan", until=r"type \w{4} \w{4}") as said:
        url = re.search(rf"https://{re.escape(address)}:\d+/pair", said).group()
        code = re.search(r"type (\w{4} \w{4})", said).group(1)
        trust = ssl.create_default_context(cafile=home / "certificate" / f"{address}.crt")
        form = urllib.parse.urlencode({"code": code, "name": "Kim"}).encode()
        with urllib.request.urlopen(url, form, timeout=20, context=trust) as answer:
            cookie = answer.headers["Set-Cookie"]
            assert "Secure" in cookie
        asked = urllib.request.Request(
            url.removesuffix("pair"), headers={"Cookie": cookie.split(";")[0]}
        )
        with urllib.request.urlopen(asked, timeout=20, context=trust) as answer:
            assert "Signed as Kim (phone)" in answer.read().decode()
        with pytest.raises(urllib.error.HTTPError, match="403"):
            urllib.request.urlopen(url, form, timeout=20, context=trust)


def test_the_command_serves_only_this_computer(started: str) -> None:
    with urllib.request.urlopen(started, timeout=20) as answer:
        assert answer.status == 200
        assert "SameSite=strict" in answer.headers["Set-Cookie"]
    port = int(started.split(":")[2].split("/", maxsplit=1)[0])
    with pytest.raises(urllib.error.HTTPError, match="401"):
        urllib.request.urlopen(f"http://127.0.0.1:{port}/", timeout=20)
    with socket.socket() as other, pytest.raises(OSError, match=r"."):
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
