"""Free speech to words, with a general Vosk model that the person has; our own knows the closed language only."""

from __future__ import annotations

import json
from pathlib import Path

from handsfree.errors import NoModel
from handsfree.nouns import OTHER_TALK


class Dictation:
    """A general model, loaded. Raises NoModel for a folder that is none."""

    def __init__(self, folder: Path) -> None:
        import vosk

        vosk.SetLogLevel(-1)
        missing = [n for n in ("am/final.mdl", "conf/model.conf") if not (folder / n).is_file()]
        if missing:
            # asked first: Vosk ends the whole program over some of these
            raise NoModel(f"{folder} is no Vosk model: it lacks {missing[0]}", do="Name the folder of one.")
        try:
            self._model = vosk.Model(str(folder))
        except Exception as error:  # the vendor raises nothing narrower
            raise NoModel(f"the model {folder} cannot be loaded ({error})", do="Name another one.") from error

    def words(self, pcm: bytes, rate: int) -> str:
        """What is said in a clip (16-bit little-endian mono), lower case; "" when nothing was understood."""
        import vosk

        decoder = vosk.KaldiRecognizer(self._model, rate)
        said = []
        for start in range(0, len(pcm), 8000):
            if decoder.AcceptWaveform(pcm[start : start + 8000]):
                said.append(json.loads(decoder.Result())["text"])
        said.append(json.loads(decoder.FinalResult())["text"])
        return " ".join(filter(None, said)).replace(OTHER_TALK, "\u2026")
