"""Wrong inputs made of right ones: by the byte, by the token, by the line."""

import re
from collections.abc import Callable, Sequence
from random import Random

__all__ = ["mutated"]

_TOKEN = re.compile(r'"[^"\n]*"|[-+]?\d[\d_.eE+-]*|[A-Za-z_][\w-]*|\s+|.', re.DOTALL)
_NUMBERS = (
    "0", "-0", "-0.0", "1", "-1", "1e400", "-1e400", "nan", "-nan", "inf", "+inf", "1e-400", "5e-324", "1e308",
    "1e-300",
    "9" * 30, "9" * 4400, "0x" + "f" * 6000, "0b1", "1_000", "1__0", "01", "+1", ".5", "5.", "1e", "1,5", "1.5.2",
    "2026-05-31", "2026-13-45", "07:32:00", "2026-05-31T25:00:00Z", "0000-00-00", "true", "\u0661\u0662", "\uff11",
    "\u22121",
    "1e5", "1e9", "1e15", "16", "17", "0.1", "-273.15", "0.0000001", "\u00bd", "1 000", "1\u00a0000", "--1", "1/0",
)  # fmt: skip
_STRINGS = (
    "", " ", "x" * 5000, "\\u0000", "\\u202eabc", "\u202eabc\u202c", "\\n", "\\t", "\\x1b[31m", "'", "../../x",
    "/dev/zero",
    "\u043cotor", "\uff4d", "\ufeff", "e\u0301", "\U0001f681", "%s%n{0}{x}", "a.b", "a b", "-", "--help", "nan",
    "1", "\\uD800",
    "<b>", "&amp;", "\u2028", "a" * 300 + ".toml", "\\",
)  # fmt: skip
_LOOK_ALIKE = str.maketrans("aceiopxyA-_", "\u0430\u0441\u0435\u0456\u043e\u0440\u0445\u0443\u0391\u2010\uff3f")
_SHAPES = ("[]", "{}", "[[]]", "[1, 2, 3]", '["a"]', "[{}]", "{ value = 1 }", '{ value = 1, sd = -1 }', "[nan]",
    "'''a\nb'''",
           '{ value = 1, basis = "weighed", sd = 1e300 }', "[1, [2, [3]]]", '{ a = { b = { c = 1 } } }')  # fmt: skip
_BYTES = (
    b"\x00",
    b"\xff",
    b"\xfe\xff",
    b"\xef\xbb\xbf",
    b"\r",
    b"\r\n",
    b"\x1a",
    b"\xc3\x28",
    b"\xed\xa0\x80",
    b"PK\x03\x04",
)


def mutated(data: bytes, random: Random, others: Sequence[bytes] = ()) -> bytes:
    """`data` with one to five things in it changed; pieces of `others` may come into it."""
    for _ in range(random.choice((1, 1, 1, 1, 2, 4))):
        way = random.random()
        if way < 0.6:
            data = _by_token(data, random)
        elif way < 0.85:
            data = _by_line(data, random, others)
        else:
            data = _by_byte(data, random)
    return data


def _by_byte(data: bytes, random: Random) -> bytes:
    at = random.randrange(len(data) + 1)
    match random.randrange(5):
        case 0:
            return data[:at] + bytes([random.randrange(256)]) + data[at + 1 :]
        case 1:
            return data[:at] + random.choice(_BYTES) + data[at:]
        case 2:
            return data[:at]
        case 3:
            return data[:at] + data[at + random.randrange(1, 9) :]
    return data[:at] + data[max(at - random.randrange(1, 40), 0) : at] * random.choice((1, 2, 50)) + data[at:]


def _by_token(data: bytes, random: Random) -> bytes:
    tokens = _TOKEN.findall(data.decode("utf-8", "surrogateescape"))
    places = [i for i, token in enumerate(tokens) if not token.isspace()]
    if not places:
        return data + random.choice(_NUMBERS).encode()
    at = random.choice(places)
    tokens[at] = _other(tokens[at], tokens, random)
    return "".join(tokens).encode("utf-8", "surrogateescape")


def _other(token: str, tokens: Sequence[str], random: Random) -> str:
    way = random.random()
    if way < 0.1:
        return random.choice(_SHAPES)
    if way < 0.13:
        deep = random.choice((3, 30, 90, 200, 400, 3000))
        return random.choice(("[" * deep + "]" * deep, "{a=" * deep + "1" + "}" * deep, "a." * deep + "a"))
    if way < 0.2:
        return random.choice([*tokens])
    if way < 0.25:
        return ""
    change: Callable[[str, Random], str]
    if token[0] in "\"'":
        change = _string
    elif token[0].isdigit() or token[0] in "+-.":
        change = _number
    else:
        change = _word
    return change(token, random)


def _number(token: str, random: Random) -> str:
    if random.random() < 0.3:
        return token + random.choice(("0", "00000000", "e3", "e30", "e-30", "e300", ".0", "_", " ", "m", ","))
    return random.choice(_NUMBERS) if random.random() < 0.8 else "-" + token


def _string(token: str, random: Random) -> str:
    way = random.random()
    if way < 0.2:
        return token.translate(_LOOK_ALIKE)
    if way < 0.3:
        return random.choice(_NUMBERS)
    inner = random.choice(_STRINGS)
    return f'"{inner}"' if way < 0.8 else f'"{token[1:-1]}{inner}"'


def _word(token: str, random: Random) -> str:
    way = random.random()
    if way < 0.3:
        return token.translate(_LOOK_ALIKE)
    if way < 0.5:
        return token + random.choice(
            ("_mm", "_g", "_awg", "_", "_in", "_degc", "x", "." + token, "s", "_v", "_percent")
        )
    if way < 0.6:
        return token.rpartition("_")[0] or token[:-1]
    return f'"{random.choice(_STRINGS)}"' if way < 0.8 else random.choice(_NUMBERS)


def _by_line(data: bytes, random: Random, others: Sequence[bytes]) -> bytes:
    lines = data.split(b"\n")
    at = random.randrange(len(lines))
    match random.randrange(6):
        case 0:
            del lines[at]
        case 1:
            lines.insert(at, lines[random.randrange(len(lines))])
        case 2:
            other = random.randrange(len(lines))
            lines[at], lines[other] = lines[other], lines[at]
        case 3:
            lines[at] = lines[at][: random.randrange(len(lines[at]) + 1)]
        case 4 if others:
            own = random.choice(others).split(b"\n")
            begin = random.randrange(len(own))
            lines[at:at] = own[begin : begin + random.randrange(1, 6)]
        case _:
            lines[at] = (
                lines[at].replace(b"[[", b"[").replace(b"]]", b"]") if b"[[" in lines[at] else b"[" + lines[at] + b"]"
            )
    return b"\n".join(lines)
