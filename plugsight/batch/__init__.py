"""READ FIRST: many photos, one line of results each. Nothing is saved but the lines, and nothing is concluded from them.

find_photos    folders and listings -> paths
read_line      one photo file       -> PhotoLine    what ``flow.look_at`` measured and suggests, or why not
run_batch      paths, a file        -> BatchCount   lines appended as they come; those there already are passed over
"""

from plugsight.batch.find_photos import find_photos
from plugsight.batch.photo_line import PhotoLine, read_line
from plugsight.batch.run_batch import BatchCount, run_batch

__all__ = ["BatchCount", "PhotoLine", "find_photos", "read_line", "run_batch"]
