"""handsfree: a piano technician's readings, heard, judged and kept. Start reading at nouns/."""

__version__ = "0.1.0"
