"""How Streamlit is set up: this machine only, nothing sent anywhere, the house's inks in light and dark."""

from plugsight.report.drawing import Ink

UPLOAD_MB = 80
"""Largest photo file: a 50-megapixel phone picture fits."""

OPTIONS: dict[str, object] = {
    "server.address": "127.0.0.1",
    "server.headless": True,
    "server.maxUploadSize": UPLOAD_MB,
    "server.fileWatcherType": "none",
    "server.enableXsrfProtection": True,
    "browser.gatherUsageStats": False,
    "client.toolbarMode": "minimal",
    "client.showErrorDetails": "none",
    "theme.baseFontSize": 18,
    "theme.baseRadius": "0.5rem",
    "theme.light.primaryColor": Ink.ACCENT.value,
    "theme.light.backgroundColor": "#fbfcfc",
    "theme.light.secondaryBackgroundColor": Ink.TINT.value,
    "theme.light.textColor": Ink.TEXT.value,
    "theme.light.borderColor": "#8c979c",
    "theme.light.linkColor": Ink.ACCENT.value,
    "theme.dark.primaryColor": "#6cc5d3",
    "theme.dark.backgroundColor": "#12181c",
    "theme.dark.secondaryBackgroundColor": "#1f2a31",
    "theme.dark.textColor": "#eef2f3",
    "theme.dark.borderColor": "#6d7a81",
    "theme.dark.linkColor": "#6cc5d3",
}
