"""Kaldi's binary notation, as far as a model file needs it: tokens, numbers, vectors, matrices.

Tokens end in a space; numbers carry their size as a first byte; matrices may be stored in 16 bits ("CM2": minimum,
range, rows, columns, values), which Kaldi expands on loading.
"""

import struct
from typing import BinaryIO

import numpy as np

BINARY_MARK = b"\0B"
COMPRESS_FROM = 2000
"""Matrices with fewer elements stay in full precision."""


class KaldiWriter:
    """Writes to a binary stream."""

    def __init__(self, stream: BinaryIO, compress: bool = True) -> None:
        self.stream, self.compress = stream, compress
        stream.write(BINARY_MARK)

    def text(self, text: str) -> None:
        self.stream.write(text.encode())

    def token(self, token: str) -> None:
        self.text(token + " ")

    def integer(self, value: int) -> None:
        self.stream.write(b"\x04" + struct.pack("<i", value))

    def float32(self, value: float) -> None:
        self.stream.write(b"\x04" + struct.pack("<f", value))

    def float64(self, value: float) -> None:
        self.stream.write(b"\x08" + struct.pack("<d", value))

    def boolean(self, value: bool) -> None:
        self.stream.write(b"T" if value else b"F")

    def integers(self, values: list[int]) -> None:
        self.integer(len(values))
        self.stream.write(np.asarray(values, "<i4").tobytes())

    def vector(self, values: np.ndarray) -> None:
        self.token("FV")
        self.integer(len(values))
        self.stream.write(np.asarray(values, "<f4").tobytes())

    def matrix(self, matrix: np.ndarray) -> None:
        rows, columns = matrix.shape
        if self.compress and matrix.size >= COMPRESS_FROM:
            low = np.float32(matrix.min())
            extent = np.float32(matrix.max() - low) or np.float32(1.0)
            steps = np.clip(np.round((matrix - low) / extent * 65535), 0, 65535).astype("<u2")
            self.token("CM2")
            self.stream.write(struct.pack("<ffii", low, extent, rows, columns) + steps.tobytes())
            return
        self.token("FM")
        self.integer(rows)
        self.integer(columns)
        self.stream.write(np.ascontiguousarray(matrix, "<f4").tobytes())


class KaldiReader:
    """Reads what `KaldiWriter` writes. Anything unexpected is a ValueError that names the place."""

    def __init__(self, data: bytes) -> None:
        self.data, self.place = data, 0
        if self._take(2) != BINARY_MARK:
            raise ValueError("not a binary Kaldi file: it does not begin with the mark \\0B")

    def _take(self, count: int) -> bytes:
        piece = self.data[self.place : self.place + count]
        if len(piece) < count:
            raise ValueError(f"the Kaldi file ends early, at byte {self.place}")
        self.place += count
        return piece

    def peek(self, count: int) -> bytes:
        return self.data[self.place : self.place + count]

    def line(self) -> str:
        end = self.data.index(b"\n", self.place)
        return self._take(end + 1 - self.place)[:-1].decode()

    def token(self, expected: str | None = None) -> str:
        end = self.data.index(b" ", self.place)
        token = self._take(end + 1 - self.place)[:-1].decode(errors="replace")
        if expected is not None and token != expected:
            raise ValueError(f"expected {expected} at byte {self.place}, found {token!r}")
        return token

    def _sized(self, size: int, code: str) -> float:
        if self._take(1)[0] != size:
            raise ValueError(f"expected a {size}-byte number at byte {self.place}")
        return struct.unpack("<" + code, self._take(size))[0]

    def integer(self) -> int:
        return int(self._sized(4, "i"))

    def float32(self) -> float:
        return self._sized(4, "f")

    def float64(self) -> float:
        return self._sized(8, "d")

    def boolean(self) -> bool:
        return self._take(1) == b"T"

    def integers(self) -> list[int]:
        return np.frombuffer(self._take(4 * self.integer()), "<i4").tolist()

    def vector(self) -> np.ndarray:
        self.token("FV")
        return np.frombuffer(self._take(4 * self.integer()), "<f4").copy()

    def matrix(self) -> np.ndarray:
        kind = self.token()
        if kind == "FM":
            rows, columns = self.integer(), self.integer()
            return np.frombuffer(self._take(4 * rows * columns), "<f4").reshape(rows, columns).copy()
        if kind != "CM2":
            raise ValueError(f"matrix of an unknown kind {kind!r} at byte {self.place}")
        low, extent, rows, columns = struct.unpack("<ffii", self._take(16))
        steps = np.frombuffer(self._take(2 * rows * columns), "<u2").reshape(rows, columns)
        return (low + steps.astype(np.float32) * np.float32(extent / 65535)).astype(np.float32)
