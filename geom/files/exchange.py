"""Atomic exchange of two folders, where the system supports it; the only module that calls the C library."""

from __future__ import annotations

import ctypes
import errno
import os
from pathlib import Path

_HERE = -100  # AT_FDCWD: names relative to the working folder
_EXCHANGE = 2  # RENAME_EXCHANGE of renameat2(2), Linux 3.15
_UNKNOWN = (errno.ENOSYS, errno.EINVAL, errno.ENOTSUP)


def exchanged(one: Path, other: Path) -> bool:
    """Exchange two names atomically, so that both exist at every moment.

    Returns:
        Whether it was done; False where the system or file system does not support it.

    Raises:
        OSError: the names cannot be exchanged.
    """
    call = getattr(ctypes.CDLL(None, use_errno=True), "renameat2", None) if os.name == "posix" else None
    if call is None:
        return False
    call.argtypes = (ctypes.c_int, ctypes.c_char_p, ctypes.c_int, ctypes.c_char_p, ctypes.c_uint)
    if call(_HERE, os.fsencode(one), _HERE, os.fsencode(other), _EXCHANGE) == 0:
        return True
    code = ctypes.get_errno()
    if code in _UNKNOWN:
        return False
    raise OSError(code, os.strerror(code), str(one))
