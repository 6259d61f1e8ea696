"""Photo room: any phone picture in, one upright sRGB ``Photo`` out."""

from plugsight.photo.file import photo_file
from plugsight.photo.read import read_photo
from plugsight.photo.record import Photo

__all__ = ["Photo", "photo_file", "read_photo"]
