"""An address as a QR code, drawn as one path."""

from __future__ import annotations

from dataclasses import dataclass

import segno


@dataclass(frozen=True, slots=True)
class Qr:
    """What ``pictures/qr.html`` needs: the side with its quiet margin, and the dark squares."""

    side: int
    path: str


def draw_qr(address: str) -> Qr:
    """Encode ``address`` with the margin of four squares that readers need (ISO/IEC 18004)."""
    code = segno.make(address, micro=False)
    rows = list(code.matrix_iter(border=4))
    path = "".join(
        f"M{x} {y}h1v1h-1z" for y, row in enumerate(rows) for x, dark in enumerate(row) if dark
    )
    return Qr(side=len(rows), path=path)
