"""What a file must be before it is decoded."""

MAX_PIXELS = 100_000_000
"""Largest picture read: 100 megapixels, 300 MB once decoded (a phone's largest mode has 50 to 200)."""

MAX_BYTES = 200 * 2**20
"""Largest file read: a losslessly kept 50-megapixel picture stays below 150 MB."""

MIN_SIDE = 64
"""Smallest side in pixels that can hold a plug at all."""

FORMATS = ("JPEG", "PNG", "WEBP", "HEIF")
"""Formats read, by Pillow's names."""
