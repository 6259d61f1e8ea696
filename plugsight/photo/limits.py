"""What a file must be before it is decoded."""

MAX_PIXELS = 100_000_000
"""Largest picture read: 100 megapixels, 300 MB once decoded (a phone's largest mode has 50 to 200)."""

MIN_SIDE = 64
"""Smallest side in pixels that can hold a plug at all."""

FORMATS = ("JPEG", "PNG", "WEBP", "HEIF")
"""Formats read, by Pillow's names."""
