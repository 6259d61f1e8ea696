"""Damage to bytes, to text and to values, drawn from a seeded generator."""

import json
import random
from typing import Any

VALUES: tuple[Any, ...] = (
    None, True, -1, 0, 1e308, float("nan"), float("inf"), 2**70, "", "x" * 300, "../../evil", "\x00", "=1+1",
    [], {}, [[]], {"a": {}}, "\ud800",
)  # fmt: skip
LITERALS = (
    "true", "-1", "1e999", "nan", "[]", "{}", '""', '"\\u0000"', "[[1]]", "1979-05-27", '"x" * 3', '"9" ',
    "99999999999999999999", "[" * 2000, "{a = " * 500, '"../../../etc/passwd"', '"=1+1"', "'''",
)  # fmt: skip


def mutated_bytes(good: bytes, chance: random.Random) -> bytes:
    """One of: bits flipped, cut short, a stretch zeroed, doubled, moved, made noise, or lengths overwritten."""
    data = bytearray(good)
    size = len(data)
    at = chance.randrange(size)
    length = min(size - at, chance.choice((1, 4, 16, 256, 4096)))
    match chance.randrange(8):
        case 0:
            for _ in range(chance.randint(1, 40)):
                data[chance.randrange(size)] ^= 1 << chance.randrange(8)
        case 1:
            del data[at:]
        case 2:
            data[at : at + length] = bytes(length)
        case 3:
            data[at:at] = data[at : at + length] * chance.randint(1, 3)
        case 4:
            to = chance.randrange(size)
            data[to : to + length] = data[at : at + length]
        case 5:
            data[at : at + length] = chance.randbytes(length)
        case 6:
            data[at : at + 4] = chance.choice(
                (b"\xff\xff\xff\xff", b"\x7f\xff\xff\xff", bytes(4), b"\x00\x00\x00\x01")
            )
        case _:  # near the head, where sizes and kinds stand
            for _ in range(chance.randint(1, 6)):
                data[chance.randrange(min(size, 120))] = chance.randrange(256)
    return bytes(data)


def mutated_lines(good: str, chance: random.Random) -> bytes:
    """Damage to a text of ``name = value`` lines."""
    lines = good.splitlines()
    for _ in range(chance.randint(1, 4)):
        at = chance.randrange(len(lines))
        match chance.randrange(7):
            case 0:
                del lines[at]
            case 1:
                lines.insert(at, chance.choice(lines))
            case 2 | 3 if "=" in lines[at]:
                lines[at] = f"{lines[at].split('=')[0]}= {chance.choice(LITERALS)}"
            case 4:
                lines[at] = lines[at][: chance.randrange(len(lines[at]) + 1)]
            case 5:
                words = lines[at].split(" ")
                words[chance.randrange(len(words))] = chance.choice(LITERALS)
                lines[at] = " ".join(words)
            case _:
                raw = bytearray(lines[at], "utf-8") or bytearray(b"x")
                raw[chance.randrange(len(raw))] = chance.randrange(256)
                lines[at] = raw.decode("latin-1")
    return "\n".join(lines).encode("utf-8" if chance.random() < 0.8 else "latin-1", "replace")


def mutated_json(good: bytes, chance: random.Random) -> bytes:
    """Damage to the values, the names or the nesting of a JSON text."""
    body = json.loads(good)
    for _ in range(chance.randint(1, 3)):
        spots = [*_spots(body)]
        if not spots:
            break
        inside, key = chance.choice(spots)
        match chance.randrange(5):
            case 0:
                del inside[key]
            case 1 if isinstance(inside, dict):
                inside[str(key) + "x"] = inside.pop(key)
            case 2 if isinstance(inside, list):
                inside.extend([inside[key]] * chance.choice((1, 50)))
            case 3 if isinstance(inside[key], int) and not isinstance(inside[key], bool):
                inside[key] = chance.choice((-1, 0, 2**31, 2**63, inside[key] + 1, 19_999))
            case _:
                inside[key] = chance.choice(VALUES)
    if chance.random() < 0.05:
        return b"[" * chance.choice((900, 200_000))
    return json.dumps(body).encode("utf-8", "surrogatepass")


def _spots(body: Any, depth: int = 0) -> Any:
    """Every place in a JSON value that holds another one."""
    if depth > 12:
        return
    keys = body if isinstance(body, dict) else range(len(body)) if isinstance(body, list) else ()
    for key in keys:
        yield body, key
        yield from _spots(body[key], depth + 1)
