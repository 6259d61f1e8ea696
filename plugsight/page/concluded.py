"""The conclusion of an inspection, worked out once per change: a touch elsewhere need not wait for it again."""

import streamlit as st

from plugsight import flow


def _stand(inspection: flow.Inspection) -> tuple[str, int]:
    """Return what tells one state of an inspection from every other: its version rises with every write."""
    return inspection.id, inspection.version


# a resource, not data: a copy by value would lose the mark that a person's decision carries
@st.cache_resource(max_entries=64, show_spinner="Weighing the evidence", hash_funcs={flow.Inspection: _stand})
def concluded(inspection: flow.Inspection) -> flow.Conclusion:
    """Return causes, checks and verdicts of the inspection as it stands; raises as ``flow.conclude`` does."""
    return flow.conclude(inspection)
