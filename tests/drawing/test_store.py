"""A folder that is never half written, and that loses nobody's work."""

import os
import stat

import pytest

from lawnmap.drawing.store import ChangedError, Store, write_whole
from lawnmap.errors import OutputError


def names(folder):
    return sorted(path.name for path in folder.iterdir())


def test_save_and_save_again(tmp_path):
    store = Store(tmp_path)
    first = store.save(b"1", None, None)
    second = store.save(b"2", b"yard", first)
    assert first != second == store.tag()
    assert (store.sketch(), store.yard()) == (b"2", b"yard")
    assert names(tmp_path) == ["sketch.json", "yard.geojson"]


def test_yard_stays_while_there_is_none_to_write(tmp_path):
    store = Store(tmp_path)
    store.save(b"2", None, store.save(b"1", b"yard", None))
    assert store.yard() == b"yard"


@pytest.mark.parametrize("tag", [None, "", '"old"'])
def test_stale_tag_replaces_nothing_and_keeps_both(tmp_path, tag):
    store = Store(tmp_path)
    store.save(b"theirs", b"their yard", None)
    for _ in range(2):
        with pytest.raises(ChangedError):
            store.save(b"mine", b"my yard", tag)
    assert (store.sketch(), store.yard()) == (b"theirs", b"their yard")
    assert sorted(path.read_bytes() for path in (tmp_path / "kept").iterdir()) == [
        b"mine",
        b"their yard",
        b"theirs",
    ]


def test_yard_changed_by_another_program_is_seen(tmp_path):
    store = Store(tmp_path)
    tag = store.save(b"1", b"yard", None)
    (tmp_path / "yard.geojson").write_bytes(b"edited")
    with pytest.raises(ChangedError):
        store.save(b"2", b"yard 2", tag)
    store.save(b"2", b"yard 2", store.tag())
    assert b"edited" in {path.read_bytes() for path in (tmp_path / "kept").iterdir()}
    assert store.yard() == b"yard 2"


def test_mode_is_kept_and_a_new_file_obeys_the_mask(tmp_path):
    old = os.umask(0o027)
    try:
        write_whole(tmp_path / "new", b"1")
    finally:
        os.umask(old)
    assert stat.S_IMODE((tmp_path / "new").stat().st_mode) == 0o640
    (tmp_path / "new").chmod(0o604)
    write_whole(tmp_path / "new", b"2")
    assert stat.S_IMODE((tmp_path / "new").stat().st_mode) == 0o604


def test_failed_write_leaves_the_old_file_and_no_draft(tmp_path, monkeypatch):
    write_whole(tmp_path / "a", b"old")

    def full(_):
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(os, "fsync", full)
    with pytest.raises(OutputError, match="No space left"):
        write_whole(tmp_path / "a", b"new")
    assert names(tmp_path) == ["a"]
    assert (tmp_path / "a").read_bytes() == b"old"


def test_folder_that_is_not_there(tmp_path):
    with pytest.raises(OutputError, match="cannot be written"):
        write_whole(tmp_path / "gone" / "a", b"")
