"""A certificate of our own for the phone: without one a browser lends no page the microphone."""

import datetime as dt
import ipaddress
from dataclasses import dataclass
from pathlib import Path

from cryptography import x509
from cryptography.hazmat.primitives import hashes, serialization
from cryptography.hazmat.primitives.asymmetric import ec
from cryptography.x509.oid import NameOID

_DAYS = 365


@dataclass(frozen=True, slots=True, kw_only=True)
class Certificate:
    """Files of a certificate and how to know it again."""

    certificate: Path
    key: Path
    fingerprint: str
    """SHA-256, in pairs of hexadecimal digits; a browser shows the same under its details."""


def certificate_for(address: str, folder: Path, *, now: dt.datetime) -> Certificate:
    """The certificate for an address in the local network, made anew when it has run out."""
    folder.mkdir(parents=True, exist_ok=True)
    made = Certificate(
        certificate=folder / f"{address}.crt", key=folder / f"{address}.key", fingerprint=""
    )
    if not (made.key.exists() and _holds(made.certificate, now)):
        _make(made, address, now)
    loaded = x509.load_pem_x509_certificate(made.certificate.read_bytes())
    digits = loaded.fingerprint(hashes.SHA256()).hex(":").upper()
    return Certificate(certificate=made.certificate, key=made.key, fingerprint=digits)


def _holds(path: Path, now: dt.datetime) -> bool:
    if not path.exists():
        return False
    until = x509.load_pem_x509_certificate(path.read_bytes()).not_valid_after_utc
    return until - now > dt.timedelta(days=1)


def _make(files: Certificate, address: str, now: dt.datetime) -> None:
    key = ec.generate_private_key(ec.SECP256R1())
    name = x509.Name([x509.NameAttribute(NameOID.COMMON_NAME, "dictate on this computer")])
    made = (
        x509.CertificateBuilder()
        .subject_name(name)
        .issuer_name(name)
        .public_key(key.public_key())
        .serial_number(x509.random_serial_number())
        .not_valid_before(now - dt.timedelta(hours=1))
        .not_valid_after(now + dt.timedelta(days=_DAYS))
        .add_extension(
            x509.SubjectAlternativeName(
                [x509.IPAddress(ipaddress.ip_address(one)) for one in (address, "127.0.0.1")]
            ),
            critical=False,
        )
        .add_extension(x509.BasicConstraints(ca=False, path_length=None), critical=True)
        .sign(key, hashes.SHA256())
    )
    files.key.touch(mode=0o600)
    files.key.write_bytes(
        key.private_bytes(
            serialization.Encoding.PEM,
            serialization.PrivateFormat.PKCS8,
            serialization.NoEncryption(),
        )
    )
    files.certificate.write_bytes(made.public_bytes(serialization.Encoding.PEM))
