"""Draw every SVG of this folder anew and write anchors.yaml from the same numbers.

Run ``python art/draw.py``. Nothing here is needed to play: the SVG files are kept in the repository.
"""

from __future__ import annotations

import behind
import bench
import couplers
import hitch
import implements
import linkage
import people
import places
import planter
import rear_panel
import seat
import symbols
import tractor
import tractors
from kit import DRAWN, HERE, Point, num

HEAD = """\
# Written by art/draw.py: change the numbers there. All points are px in the file's own view box;
# y runs down. Backdrops are 1280 by 720 and scale evenly to the window.
"""

HITCH_LAYERS = (
    "  layers: [hitch_row_unit, hitch_tractor_rear, hitch_drawbar, hitch_lift_rod, hitch_lower_link, hitch_lift_arm, "
    "hitch_top_link, hitch_headstock, hitch_coupler, hitch_top_hook, hitch_latch, hitch_stand]"
)


def flow(points: dict[str, Point], indent: str) -> list[str]:
    """Lines of a YAML mapping name: [x, y]."""
    return [f"{indent}{name}: [{num(x)}, {num(y)}]" for name, (x, y) in points.items()]


def anchors_text() -> str:
    """The whole of anchors.yaml."""
    out = [HEAD]
    out += ["scales:  # px per metre at 1280 by 720", "  yard_px_per_m: 90", "  hitch_px_per_m: 300", ""]
    out += ["# Where the yard's machines stand before anything is moved; x rearward of the rear axle is to the right.",
            "yard:", "  ground_y: 560", "  walking_lane_y: 606  # feet of the figure, in front of the machines", "  tractor_rear_axle_x: 520", "  parked_planter_lower_pin_x: 720",
            "  # from the rear axle at the ground, cm: x rearward, y up", "  lower_pivot_cm: [5, 55]",
            "  top_pivot_cm: [30, 110]", "  lower_link_cm: 105", "  top_link_nominal_cm: 81.1", "  mast_cm: 68.5",
            "  coupler_offset_cm: 13", "  pin_height_at_work_cm: 55", ""]
    out += ["panel_ports:", *flow(rear_panel.PORTS, "  "), ""]
    rack = {f"hose_{i + 1}": (float(x), float(rear_panel.RACK_Y)) for i, x in enumerate(rear_panel.RACK_X)}
    rack |= {f"plug_{i + 1}": (float(x), float(rear_panel.RACK_Y)) for i, x in enumerate(rear_panel.PLUG_X)}
    rack["drive_shaft"] = (float(rear_panel.SHAFT_X), float(rear_panel.RACK_Y))
    out += ["panel_rack:  # where the clip anchor of a parked end sits", *flow(rack, "  "), ""]
    out += ["# Hitch place: 300 px per metre; the rear axle stands on the ground line at this spot.", "hitch:",
            "  ground_y: 600", "  rear_axle_x: 170", f"  lift_arm_pivot_cm: [{num(hitch.ARM_PIVOT[0])}, {num(hitch.ARM_PIVOT[1])}]",
            f"  lift_arm_cm: {num(hitch.ARM_CM)}", f"  lift_rod_cm: {num(hitch.ROD_CM)}", "  lift_rod_on_link_cm: 48",
            "  # order from back to front", HITCH_LAYERS, ""]
    x, y, w, h = seat.TERMINAL
    u, v, sw, sh = seat.SCREEN
    out += ["seat_controls:  # centre of each slot, plate, barrel or face; brake is its pivot", *flow(seat.CONTROLS, "  ")]
    out += [f"  rear_view: [{seat.EYE_X}, {seat.HORIZON_Y}]  # where the eye looks: middle and horizon"]
    out += [f"  terminal_bezel: [{x}, {y}, {w}, {h}]  # left, top, width, height",
            f"  terminal_screen: [{x + u}, {y + v}, {sw}, {sh}]", ""]
    out += ["bench_tools:  # where each tool's foot anchor stands", *flow(bench.TOOLS, "  "), ""]
    out += ["bench_papers:  # top left of blank sheets, 118 by 156", *flow(bench.PAPERS, "  "), ""]
    out += ["files:"]
    for name in sorted(DRAWN):
        sheet = DRAWN[name]
        out += [f"  {name}.svg:", f"    view_box: [{num(sheet.width)}, {num(sheet.height)}]"]
        if sheet.anchors:
            out += ["    anchors:", *flow(sheet.anchors, "      ")]
    return "\n".join(out) + "\n"


def main() -> None:
    """Draw all parts, then the anchors."""
    for part in (tractor, tractors, linkage, planter, implements, behind, places, rear_panel, couplers, hitch, seat, bench, symbols, people):
        part.draw()
    (HERE / "anchors.yaml").write_text(anchors_text(), encoding="utf-8")


if __name__ == "__main__":
    main()
