"""Verbs that keep what Redbud holds: back it up, bring it back, prove that it comes back."""

from __future__ import annotations

import datetime as dt
import shutil
from pathlib import Path
from tempfile import TemporaryDirectory

from front.backups import archive, databases
from front.backups.databases import NotKept, Settings
from front.backups.fingerprint import differences, of_folder
from front.models import Backup


def make_backup(
    *, folder: Path, recipient: str, database: Settings, media: Path, now: dt.datetime
) -> Backup:
    """One encrypted file in `folder`; a failure is written down too, and raised."""
    file = folder / f"redbud-{now:%Y-%m-%dT%H%MZ}.tar.age"
    try:
        folder.mkdir(parents=True, exist_ok=True)
        _gather_and_pack(file, recipient, database, media, now)
    except (NotKept, OSError) as error:
        Backup.objects.create(made_at=now, file=str(file), trouble=str(error)[:500])
        raise NotKept(str(error)) from error
    return Backup.objects.create(made_at=now, file=str(file), bytes=file.stat().st_size)


def _gather_and_pack(
    file: Path, recipient: str, database: Settings, media: Path, now: dt.datetime
) -> None:
    with TemporaryDirectory(dir=file.parent, prefix="gathering-") as gathered:
        inside = Path(gathered)
        tables = databases.copy_out(database, inside / archive.DATABASE)
        if media.is_dir():
            shutil.copytree(media, inside / archive.MEDIA)
        manifest = archive.Manifest(
            made_at=now.isoformat(),
            engine=str(database["ENGINE"]),
            tables=tables,
            media=of_folder(inside / archive.MEDIA),
        )
        (inside / archive.MANIFEST).write_text(manifest.to_json())
        archive.pack(inside, file, recipient)


def restore_backup(
    *, file: Path, identity: str, database: Settings, media: Path
) -> archive.Manifest:
    """Bring a backup into an empty database and folder, and compare every table and file.

    Raises NotKept when the place is not empty, the key is wrong, or anything came back changed.
    """
    if media.is_dir() and any(media.iterdir()):
        raise NotKept(f"{media} is not empty; a backup goes only into an empty place.")
    with TemporaryDirectory(prefix="restoring-") as near:
        inside = Path(near)
        manifest = archive.unpack(file, inside, identity)
        _same_engine(manifest, database)
        databases.copy_in(database, inside / archive.DATABASE)
        if (inside / archive.MEDIA).is_dir():
            shutil.copytree(inside / archive.MEDIA, media, dirs_exist_ok=True)
    wrong = differences(manifest.tables, databases.contents(database))
    wrong += differences(manifest.media, of_folder(media))
    if wrong:
        raise NotKept("\n".join(wrong))
    return manifest


def verify_backup(
    *, file: Path, identity: str, database: Settings, now: dt.datetime
) -> archive.Manifest:
    """Restore into a fresh, empty `database` and write down that everything came back."""
    with TemporaryDirectory(prefix="media-") as media:
        manifest = restore_backup(
            file=file, identity=identity, database=database, media=Path(media)
        )
    Backup.objects.filter(file=str(file)).update(verified_at=now)
    return manifest


def _same_engine(manifest: archive.Manifest, database: Settings) -> None:
    if manifest.engine.rsplit(".", 1)[-1] != str(database["ENGINE"]).rsplit(".", 1)[-1]:
        raise NotKept(f"The backup is of {manifest.engine}; this database is {database['ENGINE']}.")
