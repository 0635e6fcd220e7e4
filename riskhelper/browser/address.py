"""Where the interface is offered, and what may not be offered there."""

from __future__ import annotations

import ipaddress
import ssl
from dataclasses import dataclass
from functools import cached_property
from pathlib import Path

from riskhelper.acts.context import Refused


@dataclass(frozen=True)
class Address:
    """An address of this machine. Beyond the machine itself it is offered encrypted only."""

    host: str = "127.0.0.1"
    port: int = 8340
    certificate: Path | None = None
    key: Path | None = None

    def __post_init__(self) -> None:
        try:
            beyond = not ipaddress.ip_address(self.host).is_loopback
        except ValueError as fault:
            raise Refused(
                f"Address `{self.host}` should be an address of this machine in figures, such as 127.0.0.1"
            ) from fault
        if ipaddress.ip_address(self.host).is_unspecified:
            raise Refused(f"Address `{self.host}` stands for all networks at once. Name the one of the site network")
        if not 1 <= self.port <= 65535:
            raise Refused(f"Port {self.port} should be from 1 to 65535")
        if (self.certificate is None) is not (self.key is None):
            raise Refused("A certificate and its key belong together: give --certificate and --key")
        if beyond and self.certificate is None:
            raise Refused(
                f"On {self.host} others on the network could read along. Give --certificate and --key of this "
                "machine, or leave --address out to offer it on this machine alone"
            )

    @property
    def url(self) -> str:
        """The address as a browser names it; nothing else is let in."""
        host = f"[{self.host}]" if ":" in self.host else self.host
        return f"{'https' if self.certificate else 'http'}://{host}:{self.port}"

    @property
    def authority(self) -> str:
        """What a browser must send as host."""
        return self.url.partition("//")[2]

    @cached_property
    def encryption(self) -> ssl.SSLContext | None:
        """Certificate and key, read; none on this machine alone."""
        if self.certificate is None:
            return None
        context = ssl.create_default_context(ssl.Purpose.CLIENT_AUTH)
        try:
            context.load_cert_chain(self.certificate, self.key)
        except (OSError, ssl.SSLError) as fault:
            raise Refused(
                f"{self.certificate} with {self.key}: cannot be used ({fault}). Check both files"
            ) from fault
        return context
