"""Photo room: any phone picture in, one upright sRGB ``Photo`` out."""

from plugsight.photo.read import read_photo
from plugsight.photo.record import Photo

__all__ = ["Photo", "read_photo"]
