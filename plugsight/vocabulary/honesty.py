"""The one sentence that stands wherever results stand, while it is true."""

RENDERED_ONLY = (
    "Checked on rendered plugs only: no accuracy on real photographs is known. "
    "plugsight advises, a person decides."
)
