"""Telling a folder that a run still holds from one that was left behind.

Where the system has advisory locks on open folders they are used: they vanish with the process, however it
ended. Elsewhere a folder counts as held for a day after its last change.
"""

from __future__ import annotations

import os
import sys
import time
from pathlib import Path

_DAY = 24 * 3600.0


def hold(folder: Path) -> int | None:
    """Lock a folder for this process, waiting for another one; returns what :func:`release` takes."""
    if sys.platform == "win32":
        return None
    import fcntl

    handle = os.open(folder, os.O_RDONLY)
    try:
        fcntl.flock(handle, fcntl.LOCK_EX)
    except OSError:  # a disk without locks: go on without
        os.close(handle)
        return None
    return handle


def release(handle: int | None) -> None:
    """Give a folder free again."""
    if handle is not None:
        os.close(handle)


def is_held(folder: Path) -> bool:
    """Whether a running process still holds the folder."""
    if sys.platform == "win32":
        return time.time() - folder.stat().st_mtime < _DAY
    import fcntl

    handle = os.open(folder, os.O_RDONLY)
    try:
        fcntl.flock(handle, fcntl.LOCK_EX | fcntl.LOCK_NB)
    except BlockingIOError:
        return True
    except OSError:
        return time.time() - folder.stat().st_mtime < _DAY
    else:
        return False
    finally:
        os.close(handle)
