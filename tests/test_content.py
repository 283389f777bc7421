"""Where the program finds its jobs and art."""

import types
from pathlib import Path

import pytest

from trainer import content

REPOSITORY = Path(__file__).resolve().parent.parent


def package_at(monkeypatch: pytest.MonkeyPatch, folder: Path) -> None:
    fake = types.SimpleNamespace(files=lambda name: folder / name)
    monkeypatch.setattr(content, "resources", fake)


def test_a_clone_uses_its_own_top_level_folders() -> None:
    assert content.content_root() == REPOSITORY


def test_an_installed_package_uses_what_it_carries(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> None:
    (tmp_path / "trainer" / "_content" / "scenarios").mkdir(parents=True)
    (tmp_path / "scenarios").mkdir()  # another package's folder beside ours in site-packages is not ours
    package_at(monkeypatch, tmp_path)
    assert content.content_root() == tmp_path / "trainer" / "_content"


def test_an_incomplete_installation_is_told(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> None:
    package_at(monkeypatch, tmp_path)
    with pytest.raises(content.ContentMissing, match=r"scenarios.*install again"):
        content.content_root()
