"""Reports and pictures as files: written aside and renamed, so that nothing half-written is ever found."""

from pathlib import Path

from plugsight.durable import write_whole
from plugsight.report import Report, to_html, to_json, to_pdf
from plugsight.vocabulary.errors import InputError


def write_report(report: Report, folder: Path) -> tuple[Path, ...]:
    """Write ``report.pdf``, ``report.html`` and ``report.json`` into ``folder``, made where needed.

    All three are made before the first is written; a report of the same name is replaced.
    """
    made = (
        ("report.pdf", to_pdf(report)),
        ("report.html", to_html(report).encode()),
        ("report.json", to_json(report).encode()),
    )
    return tuple(write_aside(folder / name, data) for name, data in made)


def write_aside(path: Path, data: bytes) -> Path:
    """Write one file under another name beside ``path``, sync it, then rename it."""
    try:
        return write_whole(path, data)
    except OSError as problem:
        raise InputError(
            str(path), f"the file can't be written ({problem.strerror})", "Choose another place with --out."
        ) from problem
