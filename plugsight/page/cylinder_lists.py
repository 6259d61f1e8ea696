"""Banks, firing order, coil pairs and the cylinders near something: numbers as people write them."""

from dataclasses import replace
from functools import partial
from typing import Any

import streamlit as st

from plugsight import flow
from plugsight.page import fields
from plugsight.page.number_groups import Groups, read_groups, write_groups
from plugsight.page.session import casebook
from plugsight.page.words_html import quiet

GROUPED = {"banks": "Banks", "rows": "Order along each casting", "coil_pairs": "Cylinders that share a coil"}
FLAT = {
    "firing_order": "Firing order",
    "near_intake_joint": "Nearest an intake joint",
    "far_from_pump": "Farthest from the water pump",
    "near_ventilation": "By the crankcase ventilation inlet",
}


def cylinder_lists(inspection: flow.Inspection) -> None:
    """Show the lists as entries; nothing noted means not known."""
    st.html(quiet("Write numbers with blanks between; part groups with a bar: 1 3 5 | 2 4 6."))
    for name, label in (*GROUPED.items(), *FLAT.items()):
        value = getattr(inspection.engine, name)
        groups: Groups = value if name in GROUPED else ((value,) if value else ())
        fields.text(
            label,
            write_groups(groups),
            f"list-{name}",
            inspection.id,
            partial(_save, name, label),
        )


def _save(name: str, label: str, inspection: flow.Inspection, typed: object) -> flow.Inspection:
    groups = read_groups(str(typed), label)
    value: Any = groups if name in GROUPED else tuple(number for group in groups for number in group)
    return casebook().set_facts(inspection, engine=replace(inspection.engine, **{name: value}))
