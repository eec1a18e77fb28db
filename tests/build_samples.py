"""Builds the sample patterns: ``python tests/build_samples.py [FOLDER]``.

The samples are one invented shop's: Juniper & Thread Quilt Shop of Harbor Falls. The same
code always writes the same bytes, so that a sample only changes when its figures do.
"""

from __future__ import annotations

import sys
from collections.abc import Callable
from pathlib import Path

import sample_quilts
import sample_shop

SAMPLES = Path(__file__).parent.parent / "sample_patterns"

BUILDERS: dict[str, Callable[[Path], None]] = {
    "harbor-lanterns.xlsx": sample_quilts.harbor_lanterns,
    "mill-pond-stars-as-written.xlsx": sample_quilts.mill_pond_stars,
    "paper-boats-two-sizes.xlsx": sample_quilts.paper_boats,
    "fjord-steps-metric.xlsx": sample_quilts.fjord_steps,
    "orchard-gate-one-way.xlsx": sample_quilts.orchard_gate,
    "picket-lane-joined.xlsx": sample_quilts.picket_lane,
    "tern-stars-finished-sizes.xlsx": sample_quilts.tern_stars,
    "rainy-day-runner-yardage.xlsx": sample_quilts.rainy_day_runner,
    "ferry-tickets.csv": sample_quilts.ferry_tickets,
    "juniper-and-thread-shop.xlsx": sample_shop.shop,
    "harbor-lanterns-class.xlsx": sample_shop.harbor_lanterns_class,
    "mill-pond-stars-class.xlsx": sample_shop.mill_pond_stars_class,
    "paper-boats-class.xlsx": sample_shop.paper_boats_class,
    "orchard-gate-class.xlsx": sample_shop.orchard_gate_class,
}


def build_all(folder: Path) -> None:
    """Write every sample into a folder."""
    for name, build in BUILDERS.items():
        build(folder / name)


if __name__ == "__main__":
    target = Path(sys.argv[1]) if len(sys.argv) > 1 else SAMPLES
    build_all(target)
    sys.stdout.write(f"{len(BUILDERS)} samples written to {target.name}\n")
