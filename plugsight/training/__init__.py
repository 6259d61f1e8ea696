"""Training room: crops and confirmed photos to a model that proves better, or is not shipped."""
