"""A backup is what comes back: made, encrypted, restored into an empty place, compared."""

import datetime as dt
import sqlite3
from contextlib import closing
from pathlib import Path

import pytest
from pyrage import x25519

from front.actions.backups import make_backup, restore_backup, verify_backup
from front.backups import archive
from front.backups.databases import NotKept
from front.backups.fingerprint import Content, differences
from front.models import Backup

NOW = dt.datetime(2027, 4, 5, 9, 0, tzinfo=dt.UTC)
KEY = x25519.Identity.generate()


@pytest.fixture
def shop(tmp_path, db):
    """A small database and media folder that stand for the shop's."""
    database = tmp_path / "shop.sqlite3"
    with closing(sqlite3.connect(database)) as connection:
        connection.execute("CREATE TABLE homes (pk INTEGER PRIMARY KEY, street TEXT)")
        connection.executemany("INSERT INTO homes (street) VALUES (?)", [("Elm",), ("Oak",)])
        connection.commit()
    (tmp_path / "media").mkdir()
    (tmp_path / "media" / "coil.jpg").write_bytes(b"a photo")
    return database


def sqlite(file: Path) -> dict:
    return {"ENGINE": "django.db.backends.sqlite3", "NAME": str(file)}


def kept(tmp_path: Path, recipient: str = str(KEY.to_public())) -> Backup:
    return make_backup(
        folder=tmp_path / "kept",
        recipient=recipient,
        database=sqlite(tmp_path / "shop.sqlite3"),
        media=tmp_path / "media",
        now=NOW,
    )


def into(folder: Path) -> dict:
    return sqlite(folder / "back.sqlite3")


def test_everything_comes_back_the_same(shop, tmp_path):
    backup = kept(tmp_path)
    manifest = restore_backup(
        file=Path(backup.file), identity=str(KEY), database=into(tmp_path), media=tmp_path / "m"
    )
    assert manifest.tables["homes"].count == 2
    assert (tmp_path / "m" / "coil.jpg").read_bytes() == b"a photo"
    with closing(sqlite3.connect(tmp_path / "back.sqlite3")) as back:
        assert back.execute("SELECT street FROM homes ORDER BY pk").fetchall() == [
            ("Elm",),
            ("Oak",),
        ]


def test_the_file_tells_nothing_to_who_has_no_key(shop, tmp_path):
    content = Path(kept(tmp_path).file).read_bytes()
    assert content.startswith(b"age-encryption.org/v1")
    assert b"Elm" not in content
    assert b"a photo" not in content


def test_another_key_is_refused_in_words(shop, tmp_path):
    backup = kept(tmp_path)
    with pytest.raises(NotKept, match="another key, or the file is damaged"):
        restore_backup(
            file=Path(backup.file),
            identity=str(x25519.Identity.generate()),
            database=into(tmp_path),
            media=tmp_path / "m",
        )


def test_a_damaged_file_is_refused(shop, tmp_path):
    file = Path(kept(tmp_path).file)
    content = bytearray(file.read_bytes())
    content[-40] ^= 1
    file.write_bytes(content)
    with pytest.raises(NotKept, match="damaged"):
        restore_backup(file=file, identity=str(KEY), database=into(tmp_path), media=tmp_path / "m")


def test_it_never_writes_over_what_is_there(shop, tmp_path):
    backup = kept(tmp_path)
    with pytest.raises(NotKept, match="only into an empty place"):
        restore_backup(
            file=Path(backup.file), identity=str(KEY), database=sqlite(shop), media=tmp_path / "m"
        )


def test_a_verified_backup_says_so(shop, tmp_path):
    backup = kept(tmp_path)
    verify_backup(file=Path(backup.file), identity=str(KEY), database=into(tmp_path), now=NOW)
    backup.refresh_from_db()
    assert backup.verified_at == NOW


def test_a_failure_is_written_down(shop, tmp_path):
    with pytest.raises(NotKept, match="begins with age1"):
        kept(tmp_path, "not a key")
    assert "age public key" in Backup.objects.get().trouble
    assert not list((tmp_path / "kept").glob("redbud-*"))


def test_a_manifest_survives_being_written():
    manifest = archive.Manifest("2027", "sqlite3", {"homes": Content(2, "ab")}, {})
    assert archive.Manifest.from_json(manifest.to_json()) == manifest


def test_what_differs_is_named():
    said = differences(
        {"a": Content(1, "x"), "b": Content(1, "y")}, {"a": Content(2, "x"), "c": Content(0, "")}
    )
    assert [words.split()[0].strip(":") for words in said] == ["b", "c", "a"]
