"""handsfree: a piano technician's readings, heard, judged and kept. Start reading at nouns.py."""

__version__ = "0.1.0"
