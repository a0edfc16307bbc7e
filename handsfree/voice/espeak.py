"""Text to sound with espeak-ng, whose library and data come as a wheel: no system package, no network.

Through ctypes, since the library has a small, stable C interface (its own header speak_lib.h, API revision 12). It
holds one voice for the whole process, so there is one lock.
"""

from __future__ import annotations

import ctypes
import threading
from pathlib import Path
from typing import Any

from handsfree.voice.pronunciation import for_espeak
from handsfree.voice.sound import Sound

_OUTPUT_SYNCHRONOUS = 2
_DO_NOT_EXIT = 0x8000
_POSITION_CHARACTER = 1
_UTF8 = 1
_PHONEMES = 0x100
_RATE = 1

_CALLBACK = ctypes.CFUNCTYPE(ctypes.c_int, ctypes.POINTER(ctypes.c_short), ctypes.c_int, ctypes.c_void_p)

_one_at_a_time = threading.Lock()


class NoVoice(Exception):
    """This synthesiser cannot speak here; the reason is the message."""


class Espeak:
    """A synthesiser. NoVoice at the making where the library cannot be used."""

    def __init__(self, *, words_a_minute: int = 170, voice: str = "en-us") -> None:
        self._words_a_minute = words_a_minute
        self._voice = voice
        self._library, self._sample_rate = _library()
        self._pcm = bytearray()
        self._callback = _CALLBACK(self._collect)

    def speak(self, line: str) -> Sound:
        """The whole line; some milliseconds of work."""
        text = for_espeak(line).encode()
        with _one_at_a_time:
            self._pcm.clear()
            self._library.espeak_SetSynthCallback(self._callback)
            if self._library.espeak_SetVoiceByName(self._voice.encode()) != 0:
                raise NoVoice(f"espeak-ng has no voice {self._voice}")
            self._library.espeak_SetParameter(_RATE, self._words_a_minute, 0)
            flags = _UTF8 | _PHONEMES
            buffer = ctypes.create_string_buffer(text)
            failed = self._library.espeak_Synth(buffer, len(buffer), 0, _POSITION_CHARACTER, 0, flags, None, None)
            if failed != 0:
                raise NoVoice(f"espeak-ng could not speak (error {failed})")
            return Sound(bytes(self._pcm), self._sample_rate)

    def _collect(self, samples: Any, count: int, events: int | None) -> int:
        if samples and count > 0:
            self._pcm += ctypes.string_at(samples, 2 * count)
        return 0


def phonemes(line: str, voice: str = "en-us") -> str:
    """How the line would be spoken, in espeak-ng's own phoneme letters (for tests of pronunciation)."""
    Espeak(voice=voice).speak("")  # the library reads double brackets as the last synthesis did
    library, _ = _library()
    with _one_at_a_time:
        library.espeak_SetVoiceByName(voice.encode())
        text = ctypes.create_string_buffer(for_espeak(line).encode())
        rest = ctypes.c_void_p(ctypes.addressof(text))
        spoken = []
        while rest.value:
            spoken.append(library.espeak_TextToPhonemes(ctypes.byref(rest), _UTF8 | _PHONEMES, 0).decode())
        return " ".join(filter(None, (clause.strip() for clause in spoken)))


_loaded: tuple[ctypes.CDLL, int] | None = None


def _library() -> tuple[ctypes.CDLL, int]:
    """The library, initialised once for the process, and its sample rate in hertz."""
    global _loaded
    with _one_at_a_time:
        if _loaded is None:
            _loaded = _load()
        return _loaded


def _load() -> tuple[ctypes.CDLL, int]:
    try:
        import espeakng_loader

        library = ctypes.CDLL(espeakng_loader.get_library_path())
    except (ImportError, OSError) as error:
        raise NoVoice(f"espeak-ng cannot be loaded ({error})") from error
    library.espeak_TextToPhonemes.restype = ctypes.c_char_p
    library.espeak_Synth.argtypes = [
        ctypes.c_void_p,
        ctypes.c_size_t,
        ctypes.c_uint,
        ctypes.c_int,
        ctypes.c_uint,
        ctypes.c_uint,
        ctypes.c_void_p,
        ctypes.c_void_p,
    ]
    data = Path(espeakng_loader.get_data_path()).parent
    rate = int(library.espeak_Initialize(_OUTPUT_SYNCHRONOUS, 0, str(data).encode(), _DO_NOT_EXIT))
    if rate <= 0:
        raise NoVoice(f"espeak-ng finds no data in {data}")
    return library, rate
