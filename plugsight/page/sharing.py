"""Who besides this machine may see one inspection: tokens for a phone, used once, soon expired, taken back at will.

Nothing here is stored: when the server ends, every key ends with it.
"""

import secrets
from dataclasses import dataclass, field
from threading import Lock

from plugsight.vocabulary.refusal import Refusal

TOKEN_SECONDS = 300.0
"""A code that was not scanned within five minutes is void."""
KEY_SECONDS = 8 * 3600.0
"""A phone stays admitted for a working day."""
MOST_TRIES, TRY_SECONDS = 10, 600.0
"""So many wrong codes within ten minutes close the door to all new phones until the time is over."""


@dataclass(frozen=True, slots=True)
class Grant:
    """What a token or key opens: one inspection, until a time (seconds of the clock that is handed in)."""

    inspection: str
    until: float


@dataclass
class Sharing:
    """Tokens on offer and keys in use. Every method takes the time, so that nothing depends on a hidden clock."""

    _tokens: dict[str, Grant] = field(default_factory=dict)
    _keys: dict[str, Grant] = field(default_factory=dict)
    _tries: list[float] = field(default_factory=list)
    _lock: Lock = field(default_factory=Lock)

    def offer(self, inspection: str, now: float) -> str:
        """Return a new token for one inspection; an earlier unused one for it becomes void."""
        with self._lock:
            self._tokens = {
                t: g for t, g in self._tokens.items() if g.inspection != inspection and g.until > now
            }
            token = secrets.token_urlsafe(24)
            self._tokens[token] = Grant(inspection, now + TOKEN_SECONDS)
        return token

    def redeem(self, token: str, now: float) -> str | Refusal:
        """Turn a token into a key, once; refused when it is unknown, used, void, or too many wrong ones were tried."""
        with self._lock:
            self._tries = [moment for moment in self._tries if moment > now - TRY_SECONDS]
            if len(self._tries) >= MOST_TRIES:
                return Refusal("too many wrong codes were tried", "Wait ten minutes, then show a new code.")
            grant = self._tokens.pop(token, None)
            if grant is None or grant.until <= now:
                self._tries.append(now)
                return Refusal(
                    "this code is used up or too old", "Show a new code on the shop's computer and scan it."
                )
            key = secrets.token_urlsafe(24)
            self._keys[key] = Grant(grant.inspection, now + KEY_SECONDS)
        return key

    def opens(self, key: str, now: float) -> str | None:
        """Return the inspection that a key opens, or None."""
        with self._lock:
            grant = self._keys.get(key)
        return grant.inspection if grant is not None and grant.until > now else None

    def expected(self, inspection: str, now: float) -> bool:
        """Return whether a phone is admitted to an inspection, or a code for one is on offer."""
        with self._lock:
            grants = (*self._tokens.values(), *self._keys.values())
            return any(g.inspection == inspection and g.until > now for g in grants)

    def phones(self, inspection: str, now: float) -> int:
        """Return how many phones are admitted to an inspection."""
        with self._lock:
            return sum(g.inspection == inspection and g.until > now for g in self._keys.values())

    def revoke(self, inspection: str) -> None:
        """Shut out every phone from an inspection and void the token on offer."""
        with self._lock:
            self._tokens = {t: g for t, g in self._tokens.items() if g.inspection != inspection}
            self._keys = {k: g for k, g in self._keys.items() if g.inspection != inspection}
