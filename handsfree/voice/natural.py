"""Text to sound with a neural voice, for whoever has installed the extra `handsfree[voice]` and a voice file.

Slower than espeak-ng to start and to speak, easier on the ear. Offline like everything here: the voice is a file.
"""

from __future__ import annotations

from pathlib import Path

from handsfree.errors import BadSettings
from handsfree.voice.espeak import NoVoice
from handsfree.voice.pronunciation import for_natural_voice
from handsfree.voice.sound import Sound

_USUAL_WORDS_A_MINUTE = 170


class NaturalVoice:
    """A piper voice as a synthesiser."""

    def __init__(self, voice: Path, *, words_a_minute: int = _USUAL_WORDS_A_MINUTE) -> None:
        """`voice`: an .onnx file with its .onnx.json beside it. BadSettings when it or piper is not there."""
        try:
            from piper import PiperVoice, SynthesisConfig
        except ImportError as error:
            raise BadSettings(
                "the natural voice needs piper-tts, which is not installed",
                do="Install handsfree[voice], or take natural_voice out of the settings.",
            ) from error
        if not voice.is_file() or not Path(f"{voice}.json").is_file():
            raise BadSettings(
                f"there is no voice {voice} with its .json beside it",
                do="Name a piper voice's .onnx file, or take natural_voice out of the settings.",
            )
        self._voice = PiperVoice.load(voice)
        self._config = SynthesisConfig(length_scale=_USUAL_WORDS_A_MINUTE / words_a_minute)

    def speak(self, line: str) -> Sound:
        """The whole line. Raises NoVoice."""
        try:
            chunks = list(self._voice.synthesize(for_natural_voice(line), syn_config=self._config))
        except Exception as error:  # the vendor's runtime raises nothing narrower
            raise NoVoice(f"the natural voice does not speak ({error})") from error
        return Sound(b"".join(c.audio_int16_bytes for c in chunks), chunks[0].sample_rate if chunks else 22_050)
