"""Styles, scripts and pictures stand beside the views that use them, and are served from there."""

from collections.abc import Iterable, Iterator
from pathlib import Path
from typing import Any

from django.contrib.staticfiles.finders import FileSystemFinder
from django.core.files.storage import Storage

_KINDS = {".css", ".js", ".png", ".svg"}


class ScreenFiles(FileSystemFinder):
    """What a phone may ask for out of the folders of the screens, and nothing else that stands there."""

    def find_location(self, root: str, path: str, prefix: str | None = None) -> str | None:
        return super().find_location(root, path, prefix) if Path(path).suffix in _KINDS else None

    def list(self, ignore_patterns: Iterable[str] | None) -> Iterator[Any]:
        found: Iterable[tuple[str, Storage]] = super().list(ignore_patterns)
        return ((path, storage) for path, storage in found if Path(path).suffix in _KINDS)


def screen_files() -> list[str]:
    """The path of each, as its address has it after the prefix of static files, in order."""
    return sorted(path for path, _storage in ScreenFiles().list(None))
