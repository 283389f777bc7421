"""The colours of the yard: plum-grey, sand and graphite with one cool accent, and the status colours.

Status colours are Okabe and Ito's, told apart by people who see few colours; each comes with a sign and a
word, and with an edge, as some of them stand out too little on light or dark ground alone.
"""

from __future__ import annotations

Colour = tuple[int, int, int]


def of(code: str) -> Colour:
    """A colour from its hex code.

    >>> of("#40354a")
    (64, 53, 74)
    """
    return int(code[1:3], 16), int(code[3:5], 16), int(code[5:7], 16)


def mix(first: Colour, second: Colour, share: float) -> Colour:
    """The colour between two, `share` of the second in 0..1.

    >>> mix((0, 0, 0), (255, 255, 255), 0.5)
    (128, 128, 128)
    """
    one, two, three = (round(a + (b - a) * share) for a, b in zip(first, second, strict=True))
    return one, two, three


def contrast(first: Colour, second: Colour) -> float:
    """Contrast ratio of two colours as WCAG 2 defines it, 1 (the same) to 21 (black on white).

    >>> contrast((0, 0, 0), (255, 255, 255))
    21.0
    """

    def luminance(colour: Colour) -> float:
        parts = [part / 255 for part in colour]
        red, green, blue = (p / 12.92 if p <= 0.04045 else ((p + 0.055) / 1.055) ** 2.4 for p in parts)
        return 0.2126 * red + 0.7152 * green + 0.0722 * blue

    low, high = sorted((luminance(first), luminance(second)))
    return round((high + 0.05) / (low + 0.05), 2)


def _row(codes: str) -> tuple[Colour, ...]:
    return tuple(of(code) for code in codes.split())


PLUM = _row("#2b232f #40354a #5a4d62 #786a80 #9c8fa3 #c6bccb #e2dce5")
SAND = _row("#4f4435 #77674f #a08c6c #c3b08e #dccdb0 #ece3d0 #f6f1e6")
GRAPHITE = _row("#131417 #1e2024 #2c2f34 #3e4248 #565b62 #757b83 #999fa6")
STEEL = _row("#4b5158 #737a82 #9aa1a8 #bfc5ca #dde1e4 #f2f4f5")
ICE = _row("#173f45 #28676d #3f939a #74bec2 #b3dfe0 #e0f3f3")

INK = of("#1c191f")
MUTED = of("#5a4d62")
PAPER = SAND[6]
PAPER_DEEP = SAND[5]
SHEET = of("#fdfbf6")
EDGE = of("#8d7f8f")

BAR = PLUM[0]
BAR_RAISED = PLUM[1]
BAR_EDGE = PLUM[2]
BAR_INK = SAND[6]
BAR_MUTED = PLUM[5]

ACCENT = ICE[1]
ACCENT_DARK = ICE[0]
ACCENT_PALE = ICE[4]
ACCENT_LIGHT = ICE[3]

GREEN = of("#009e73")
ORANGE = of("#e69f00")
VERMILLION = of("#d55e00")
SKY = of("#56b4e9")
YELLOW = of("#f0e442")

SEVERITY: dict[str, tuple[str, Colour]] = {
    "catastrophic": ("octagon", VERMILLION),
    "critical": ("diamond", ORANGE),
    "marginal": ("triangle", YELLOW),
    "negligible": ("disc", SKY),
}
"""Sign and colour of a finding; the word comes from the texts."""
