"""Pages of an Ogg file: its head, which says how all sounds are coded, and its body.

Source: S. Pfeiffer, *The Ogg Encapsulation Format Version 0* (RFC 3533), 2003; Xiph.Org Foundation,
*Vorbis I specification*, 2020, appendix A: the first page with sound begins anew after the head.
"""

from __future__ import annotations

import zlib
from collections.abc import Iterator

_SIGN, _HEAD = b"OggS", 27  # a page begins so; bytes before the table of its segments
_PLACE, _NUMBER, _SUM = slice(6, 14), slice(14, 18), slice(22, 26)  # of a page
_TURNED = bytes(int(f"{number:08b}"[::-1], 2) for number in range(256))


def parted(data: bytes) -> tuple[bytes, bytes]:
    """Return the head and the body of a file, both numbered 0, so that equal heads are equal.

    >>> from theorykit.show.sound import Samples, ogg_bytes
    >>> import numpy as np
    >>> first, second = (ogg_bytes(Samples(np.full(n, 0.1, np.float32), 44100)) for n in (90, 9000))
    >>> parted(first)[0] == parted(second)[0], parted(first)[1] == parted(second)[1]
    (True, False)
    """
    head, body = bytearray(), bytearray()
    for page in _pages(data):
        is_head = not body and not any(page[_PLACE])
        (head if is_head else body).extend(_numbered(page))
    return bytes(head), bytes(body)


def _pages(data: bytes) -> Iterator[bytes]:
    """Yield the pages of a file that we have written."""
    at = 0
    while data[at : at + 4] == _SIGN:
        count = data[at + _HEAD - 1]
        size = _HEAD + count + sum(data[at + _HEAD : at + _HEAD + count])
        yield data[at : at + size]
        at += size


def _numbered(page: bytes) -> bytes:
    """Return a page as one of the stream with the number 0, with the sum that belongs to it."""
    found = bytearray(page)
    found[_NUMBER] = found[_SUM] = bytes(4)
    found[_SUM] = _sum_of(bytes(found))
    return bytes(found)


def _sum_of(data: bytes) -> bytes:
    """Return the sum of a page: that of zlib, with all bits the other way round."""
    found = zlib.crc32(data.translate(_TURNED), 0xFFFFFFFF) ^ 0xFFFFFFFF
    return found.to_bytes(4, "big").translate(_TURNED)
