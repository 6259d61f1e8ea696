"""Labels room: the labelled set out and in, in an open layout, without what identifies people."""

from plugsight.labels.grade import grade_of
from plugsight.labels.keep import keep_set, kept_sets, labels_home
from plugsight.labels.picture import SetPicture, set_picture
from plugsight.labels.read import ReadSet, read_set
from plugsight.labels.record import FORMAT, Grade, LabelledPhoto, LabelledPlug, LabelledSet
from plugsight.labels.write import write_set

__all__ = [
    "FORMAT",
    "Grade",
    "LabelledPhoto",
    "LabelledPlug",
    "LabelledSet",
    "ReadSet",
    "SetPicture",
    "grade_of",
    "keep_set",
    "kept_sets",
    "labels_home",
    "read_set",
    "set_picture",
    "write_set",
]
