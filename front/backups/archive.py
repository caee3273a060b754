"""The backup file: a tar of database, media and manifest, encrypted to a public key (age).

The server knows the public key alone, so whoever steals the server or the file reads nothing; the
private key is kept by the owner, away from the server.
"""

from __future__ import annotations

import json
import tarfile
from dataclasses import asdict, dataclass
from pathlib import Path
from tempfile import TemporaryDirectory

import pyrage
from pyrage import x25519

from front.backups.databases import NotKept
from front.backups.fingerprint import Content

MANIFEST, DATABASE, MEDIA = "manifest.json", "database", "media"


@dataclass(frozen=True)
class Manifest:
    """What the file holds, to be compared after a restore."""

    made_at: str
    engine: str
    tables: dict[str, Content]
    media: dict[str, Content]

    def to_json(self) -> str:
        return json.dumps(asdict(self), indent=1, sort_keys=True)

    @classmethod
    def from_json(cls, text: str) -> Manifest:
        values = json.loads(text)
        for part in ("tables", "media"):
            values[part] = {name: Content(**content) for name, content in values[part].items()}
        return cls(**values)


def pack(folder: Path, file: Path, recipient: str) -> None:
    """Encrypt what lies in `folder` into `file`, written whole or not at all."""
    try:
        to = x25519.Recipient.from_str(recipient)
    except pyrage.RecipientError as error:
        raise NotKept("BACKUP_RECIPIENT is no age public key; it begins with age1.") from error
    new = file.with_suffix(".new")
    with TemporaryDirectory(dir=file.parent) as near:
        plain = Path(near) / "plain.tar"
        plain.touch(0o600)
        with tarfile.open(plain, "w") as tar:
            tar.add(folder, arcname=".")
        pyrage.encrypt_file(str(plain), str(new), [to])
    new.replace(file)


def unpack(file: Path, folder: Path, identity: str) -> Manifest:
    """Decrypt `file` into an empty `folder`. Raises NotKept for a wrong key or a damaged file."""
    try:
        key = x25519.Identity.from_str(identity.strip())
        pyrage.decrypt_file(str(file), str(folder / "plain.tar"), [key])
    except pyrage.IdentityError as error:
        raise NotKept("That is no age private key; it begins with AGE-SECRET-KEY-1.") from error
    except (pyrage.DecryptError, OSError) as error:
        raise NotKept(f"{file} cannot be read: another key, or the file is damaged.") from error
    with tarfile.open(folder / "plain.tar") as tar:
        tar.extractall(folder, filter="data")
    (folder / "plain.tar").unlink()
    return Manifest.from_json((folder / MANIFEST).read_text())
