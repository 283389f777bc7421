"""How a picture looks to eyes: contrast as WCAG 2 defines it, and colours that some people do not tell apart.

Pictures are arrays of whole numbers 0..255, red, green, blue last. Nothing here knows the program.

- Relative luminance and contrast ratio: W3C, Web Content Accessibility Guidelines 2.2, "relative luminance"
  and "contrast ratio" (published). 2.0 gave 0.03928 as the bend of the curve and a later erratum 0.04045; no
  colour of whole numbers lies between the two.
- Large text: the same, "large scale (text)": 18 point, or 14 point bold; at 96 pixels to the inch 24 and
  18.66 pixels (published).
- Colour vision: Machado, Oliveira and Fernandes, "A physiologically-based model for simulation of color
  vision deficiency", IEEE Transactions on Visualization and Computer Graphics 15 (2009), the matrices for
  severity 1.0, which act on linear light (library: colorspacious carries the same, compared once; that each
  row keeps white white is tested).
- Lightness L*: CIE 1976, white D65 (book).
"""

from __future__ import annotations

import numpy as np
import pygame

NORMAL_RATIO, LARGE_RATIO, SIGN_RATIO = 4.5, 3.0, 3.0
LARGE_PX, LARGE_BOLD_PX = 24.0, 18.66

DEFICIENCIES: dict[str, np.ndarray] = {
    "protanopia": np.array(
        [
            [0.152286, 1.052583, -0.204868],
            [0.114503, 0.786281, 0.099216],
            [-0.003882, -0.048116, 1.051998],
        ]
    ),
    "deuteranopia": np.array(
        [
            [0.367322, 0.860646, -0.227968],
            [0.280085, 0.672501, 0.047413],
            [-0.011820, 0.042940, 0.968881],
        ]
    ),
    "tritanopia": np.array(
        [
            [1.255528, -0.076749, -0.178779],
            [-0.078411, 0.930809, 0.147602],
            [0.004733, 0.691367, 0.303900],
        ]
    ),
}
_BEND = 0.04045
_SHARES = np.array([0.2126, 0.7152, 0.0722])
_LINEAR = np.array([p / 12.92 if p <= _BEND else ((p + 0.055) / 1.055) ** 2.4 for p in np.arange(256) / 255])


def linear(picture: np.ndarray) -> np.ndarray:
    """Light as it leaves the screen, 0..1 for each colour."""
    return _LINEAR[np.asarray(picture, dtype=np.uint8)]


def luminance(picture: np.ndarray) -> np.ndarray:
    """Relative luminance, 0 (black) to 1 (white)."""
    return linear(picture) @ _SHARES


def contrast(one: np.ndarray, other: np.ndarray) -> np.ndarray:
    """Contrast ratio, 1 (the same) to 21 (black on white), pixel by pixel."""
    first, second = luminance(one) + 0.05, luminance(other) + 0.05
    return np.maximum(first, second) / np.minimum(first, second)


def is_large(size_px: float, bold: bool) -> bool:
    """Whether text of this size counts as large."""
    return size_px >= (LARGE_BOLD_PX if bold else LARGE_PX)


def seen_by(deficiency: str, picture: np.ndarray) -> np.ndarray:
    """The picture as somebody sees it who lacks one kind of cone; '' for everybody else."""
    if not deficiency:
        return np.asarray(picture, dtype=np.uint8)
    light = np.clip(linear(picture) @ DEFICIENCIES[deficiency].T, 0.0, 1.0)
    shown = np.where(light <= _BEND / 12.92, light * 12.92, 1.055 * light ** (1 / 2.4) - 0.055)
    return np.round(shown * 255).astype(np.uint8)


def lightness(picture: np.ndarray) -> np.ndarray:
    """L* of each pixel, 0 (black) to 100 (white)."""
    share = luminance(picture)
    return np.where(share > (6 / 29) ** 3, 116 * np.cbrt(share) - 16, share * (29 / 3) ** 3)


def pixels(surface: pygame.Surface, rect: pygame.Rect | None = None) -> np.ndarray:
    """A part of a surface, rows first."""
    part = surface if rect is None else surface.subsurface(rect)
    return pygame.surfarray.array3d(part).swapaxes(0, 1)
