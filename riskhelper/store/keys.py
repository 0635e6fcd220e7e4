"""Private keys in files, each sealed under a passphrase, and the waiting time after wrong ones.

A file seals one Ed25519 key for every way it may be opened: a person's key under one passphrase, the register's
under each pair of its keepers. Derivation: Argon2id, 19 MiB, 2 passes, 1 lane (OWASP Password Storage Cheat Sheet,
minimum); sealing: ChaCha20-Poly1305 (RFC 8439).
"""

from __future__ import annotations

import hashlib
import itertools
import json
import os
import unicodedata
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta
from pathlib import Path
from typing import Any

from cryptography.exceptions import InvalidTag
from cryptography.hazmat.primitives.asymmetric.ed25519 import Ed25519PrivateKey
from cryptography.hazmat.primitives.ciphers.aead import ChaCha20Poly1305
from cryptography.hazmat.primitives.kdf.argon2 import Argon2id

from riskhelper.record.signing import Hand, fingerprint
from riskhelper.store.sqlite import StoreFault

KEY_SCHEMA = "riskhelper.key/1"
MEMORY_KIB, PASSES, LANES = 19_456, 2, 1
SHORTEST, LONGEST = 8, 1_024
FREE_TRIES = 2
MOST_DELAY_S = 900


class KeyRefused(Exception):
    """A key that does not open, or not yet; the message says why and what to do."""


def parameters_suffice(memory_kib: int, passes: int, lanes: int) -> bool:
    """Whether a derivation costs at least the published minimum: 19 MiB with 2 passes, or 46 MiB with one."""
    return lanes >= 1 and ((memory_kib >= 19_456 and passes >= 2) or (memory_kib >= 47_104 and passes >= 1))


def passphrase_lack(passphrase: str) -> str:
    """Why a passphrase will not do; empty where it will. Length alone counts (NIST SP 800-63B 5.1.1.2).

    What is counted is what is derived from: an accent typed on its own is part of its letter.
    """
    length = min(len(passphrase), len(_normal(passphrase)))
    if length < SHORTEST:
        return f"A passphrase has at least {SHORTEST} characters; this one has {length}. Add words"
    if len(passphrase) > LONGEST:
        return f"A passphrase has at most {LONGEST} characters. Shorten it"
    return ""


def delay_s(failures: int) -> int:
    """Seconds to wait after so many wrong passphrases in a row.

    >>> [delay_s(failures) for failures in (0, 2, 3, 4, 8, 30)]
    [0, 0, 2, 4, 64, 900]
    """
    if failures <= FREE_TRIES:
        return 0
    return int(min(2 ** min(failures - FREE_TRIES, 20), MOST_DELAY_S))


@dataclass(frozen=True, slots=True)
class KeyFile:
    """A sealed key in a file. `names` are those whose passphrases open it: one, or any two of several."""

    file: Path
    name: str
    key: str
    names: tuple[str, ...]


class KeyFolder:
    """The folder of sealed keys, readable by its owner only."""

    def __init__(self, folder: Path) -> None:
        self.folder = folder

    def make(self, name: str, passphrases: Mapping[str, str]) -> KeyFile:
        """Makes a key for a name, sealed under one passphrase, or under each pair of several."""
        for passphrase in passphrases.values():
            if lack := passphrase_lack(passphrase):
                raise KeyRefused(lack)
        private = Ed25519PrivateKey.generate()
        public = private.public_key().public_bytes_raw().hex()
        salts = {each: os.urandom(16) for each in passphrases}
        derived = {each: _derived(text, salts[each], MEMORY_KIB, PASSES, LANES) for each, text in passphrases.items()}
        ways = [tuple(passphrases)] if len(passphrases) == 1 else list(itertools.combinations(passphrases, 2))
        sealed = []
        for way in ways:
            nonce = os.urandom(12)
            box = ChaCha20Poly1305(_joined([derived[each] for each in way]))
            sealed.append(
                {
                    "opens_for": list(way),
                    "nonce": nonce.hex(),
                    "sealed": box.encrypt(nonce, private.private_bytes_raw(), bytes.fromhex(public)).hex(),
                }
            )
        content = {
            "schema": KEY_SCHEMA,
            "name": name,
            "public": public,
            "argon2id": {"memory_kib": MEMORY_KIB, "passes": PASSES, "lanes": LANES},
            "salts": {each: salt.hex() for each, salt in salts.items()},
            "ways": sealed,
        }
        file = self._file(public)
        self._write(file, content)
        return KeyFile(file, name, public, tuple(passphrases))

    def holds(self, key: str) -> bool:
        """Whether the file of a public key lies here."""
        return self._file(key).is_file()

    def found(self, key: str) -> KeyFile:
        """The file of a public key."""
        file = self._file(key)
        content = self._read(file)
        return KeyFile(file, content["name"], content["public"], tuple(content["salts"]))

    def opened(self, key: str, passphrases: Mapping[str, str], now: datetime) -> Hand:
        """The hand that signs with a key. After wrong passphrases it waits, longer each time."""
        held = self.found(key)
        content = self._read(held.file)
        failures = self._wait_over(held, now)
        way = next((each for each in content["ways"] if set(each["opens_for"]) == set(passphrases)), None)
        if way is None:
            wanted = " or ".join(" with ".join(each["opens_for"]) for each in content["ways"])
            raise KeyRefused(f"The key of {held.name} opens for {wanted}")
        self._note(held, failures + 1, now)  # before the try: a program killed in between has used it up
        cost = content["argon2id"]
        parts = [
            _derived(
                passphrases[each],
                bytes.fromhex(content["salts"][each]),
                cost["memory_kib"],
                cost["passes"],
                cost["lanes"],
            )
            for each in way["opens_for"]
        ]
        try:
            raw = ChaCha20Poly1305(_joined(parts)).decrypt(
                bytes.fromhex(way["nonce"]), bytes.fromhex(way["sealed"]), bytes.fromhex(held.key)
            )
        except InvalidTag as fault:
            wait = delay_s(failures + 1)
            raise KeyRefused(
                f"That does not open the key of {held.name}. "
                + (f"Wait {wait} seconds, then type it again" if wait else "Type it again")
            ) from fault
        self._note(held, 0, now)
        private = Ed25519PrivateKey.from_private_bytes(raw)
        return Hand(held.name, held.key, private.sign, tuple(passphrases))

    def content(self, key: str) -> dict[str, Any]:
        """The sealed key as it is carried: of no use without its passphrase."""
        return self._read(self.found(key).file)

    def contents(self) -> list[dict[str, Any]]:
        """Every sealed key of the folder as it is carried."""
        return [self._read(file) for file in sorted(self.folder.glob("*.key"))]

    def take(self, content: Mapping[str, Any]) -> str:
        """Takes a sealed key that was carried here; gives its name, empty where it lies here already."""
        public = content.get("public")
        if content.get("schema") != KEY_SCHEMA or not isinstance(public, str) or len(public) != 64:
            raise KeyRefused("A key in that file is written in a way this program does not know")
        if self.holds(public):
            return ""
        self._write(self._file(public), content)
        return str(content.get("name"))

    def _file(self, key: str) -> Path:
        return self.folder / f"{fingerprint(key).hex()}.key"

    def _wait_over(self, held: KeyFile, now: datetime) -> int:
        """Failures in a row so far; refused while the wait lasts. A clock set back starts the wait again."""
        notes = held.file.with_suffix(".tries")
        if not notes.is_file():
            return 0
        told = self._read(notes)
        failures, last = int(told["failures"]), datetime.fromisoformat(told["last"])
        passed = max(now - last, timedelta(0))
        left = delay_s(failures) - passed.total_seconds()
        if left > 0:
            raise KeyRefused(
                f"After {failures} wrong passphrases the key of {held.name} waits {left:.0f} more seconds"
            )
        return failures

    def _note(self, held: KeyFile, failures: int, now: datetime) -> None:
        self._write(held.file.with_suffix(".tries"), {"failures": failures, "last": now.isoformat()})

    def _write(self, file: Path, content: Mapping[str, Any]) -> None:
        """Writes a whole file or none, readable by its owner only."""
        part = file.with_suffix(file.suffix + ".part")
        try:
            self.folder.mkdir(parents=True, exist_ok=True, mode=0o700)
            descriptor = os.open(part, os.O_WRONLY | os.O_CREAT | os.O_TRUNC, 0o600)
            with os.fdopen(descriptor, "w", encoding="utf-8") as stream:
                json.dump(content, stream, indent=1)
                stream.flush()
                os.fsync(stream.fileno())
            part.replace(file)
        except OSError as fault:
            raise StoreFault(
                f"{file}: cannot be written ({fault.strerror}). Look at the disk and the folder"
            ) from fault

    def _read(self, file: Path) -> dict[str, Any]:
        try:
            content = json.loads(file.read_text(encoding="utf-8"))
        except FileNotFoundError as fault:
            raise KeyRefused(
                f"{file}: no such key on this machine. Sign where it was made, or let two people make a new one"
            ) from fault
        except (OSError, ValueError) as fault:
            raise StoreFault(f"{file}: cannot be read. Keep it as it is and bring back a copy") from fault
        if not isinstance(content, dict) or content.get("schema", KEY_SCHEMA) != KEY_SCHEMA:
            raise StoreFault(f"{file}: has a form this program does not know")
        return content


def _derived(passphrase: str, salt: bytes, memory_kib: int, passes: int, lanes: int) -> bytes:
    if not parameters_suffice(memory_kib, passes, lanes):
        raise KeyRefused("This key is sealed more weakly than the published minimum. Make a new one by two people")
    derivation = Argon2id(salt=salt, length=32, iterations=passes, lanes=lanes, memory_cost=memory_kib)
    return derivation.derive(_normal(passphrase).encode("utf-8"))


def _normal(passphrase: str) -> str:
    """The same characters, however the keyboard of another machine composes them."""
    return unicodedata.normalize("NFKC", passphrase)


def _joined(parts: Sequence[bytes]) -> bytes:
    """One sealing key from those of each passphrase, in the order of the names."""
    return hashlib.sha256(b"riskhelper.key/1" + b"".join(parts)).digest()
