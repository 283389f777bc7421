"""Where the jobs and the art lie: inside the installed package, or at the top of a clone."""

from importlib import resources
from pathlib import Path

CONTENT_FOLDERS = ("scenarios", "art")
_INSTALLED = "_content"


class ContentMissing(RuntimeError):
    """Neither the package nor the folder above it holds the jobs: the installation is incomplete."""


def content_root() -> Path:
    """Return the folder that holds ``scenarios/`` and ``art/``.

    An installed wheel carries both inside the package. A clone, also when installed with ``pip install -e``,
    uses its own top-level folders, so that an edited job is the one that runs.

    Raises:
        ContentMissing: if neither place holds ``scenarios/``.

    >>> (content_root() / "scenarios").is_dir()
    True
    """
    package = Path(str(resources.files("trainer")))
    for place in (package / _INSTALLED, package.parent):
        if (place / CONTENT_FOLDERS[0]).is_dir():
            return place
    raise ContentMissing(
        f"no folder {CONTENT_FOLDERS[0]!r} in {package / _INSTALLED} or in {package.parent}: install again"
    )
