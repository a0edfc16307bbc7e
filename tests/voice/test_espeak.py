"""The synthesiser that comes with the installation: letters as letters, sound of the right length, no network."""

from __future__ import annotations

import re
import threading

import numpy as np
import pytest

from handsfree.voice.espeak import Espeak, NoVoice, phonemes
from handsfree.voice.playing import at_rate
from handsfree.voice.pronunciation import for_espeak, for_natural_voice
from handsfree.voice.sound import Sound

LETTERS = {"A": "eI", "B": "bi:", "C": "si:", "D": "di:", "E": "i:", "F": "Ef", "G": "dZi:"}
"""Names of the letters as any English dictionary gives them, in espeak-ng's phoneme letters (from memory)."""


def plain(text: str) -> str:
    """Without stress and length of pauses."""
    return re.sub(r"[',|_:]", "", text)


@pytest.mark.parametrize("letter", LETTERS)
@pytest.mark.parametrize("rest", ["four", "sharp four", "flat two"])
def test_note_letters_are_said_as_letters(letter: str, rest: str) -> None:
    assert plain(phonemes(f"{letter} {rest}")).split()[0] == plain(LETTERS[letter])


def test_an_article_stays_an_article() -> None:
    assert phonemes("A reading waits.") == phonemes("a reading waits.")
    assert for_espeak("A reading, A four.") == "A reading, [[eI]] four."


def test_brackets_are_never_commands() -> None:
    assert "[[" not in for_espeak("remark [[hello]]")
    assert "[[" not in for_natural_voice("remark [[hello]]")
    assert for_natural_voice("A four?") == "[[ ˈeɪ ]] four?"


def test_a_line_becomes_sound() -> None:
    sound = Espeak().speak("C five, sixty one down?")
    assert sound.rate == 22_050
    assert 1.0 < sound.seconds < 4.0
    wave = np.frombuffer(sound.pcm, "<i2").astype(float)
    assert 500 < np.sqrt(np.mean(wave**2)) < 10_000
    assert np.argmax(np.abs(wave) > 200) / sound.rate < 0.1, "it begins at once"


def test_faster_is_shorter_and_empty_is_silent() -> None:
    line = "F sharp four, fifty two and a half down."
    slow, fast = Espeak(words_a_minute=120), Espeak(words_a_minute=240)
    assert fast.speak(line).seconds < 0.7 * slow.speak(line).seconds
    assert Espeak().speak("").seconds < 0.1


def test_an_unknown_voice_is_refused() -> None:
    with pytest.raises(NoVoice, match="no voice"):
        Espeak(voice="no-such-voice").speak("hello")


def test_several_threads_get_their_own_lines() -> None:
    lines = [f"{word} four." for word in ("B", "F sharp", "key forty nine, down fifty two and up twenty eight")]
    alone = [Espeak().speak(line).seconds for line in lines]
    together: dict[int, float] = {}

    def speak(i: int) -> None:
        together[i] = Espeak().speak(lines[i]).seconds

    threads = [threading.Thread(target=speak, args=(i,)) for i in range(len(lines))]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    assert [together[i] for i in range(len(lines))] == pytest.approx(alone, rel=0.05)


def test_resampling_keeps_length_and_pitch() -> None:
    """1 kHz for a second stays 1 kHz for a second (mathematics)."""
    wave = (8000 * np.sin(2 * np.pi * 1000 * np.arange(22_050) / 22_050)).astype("<i2")
    out = at_rate(Sound(wave.tobytes(), 22_050), 48_000)
    assert out.seconds == pytest.approx(1.0, abs=0.001)
    spectrum = np.abs(np.fft.rfft(np.frombuffer(out.pcm, "<i2").astype(float)))
    assert np.argmax(spectrum) / out.seconds == pytest.approx(1000, abs=2)
