"""The list of photographs: file, moment, composition, how the phone was held and whose it was."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from datetime import datetime

from .scenes import airframe, closeups, engine, equipment, fittings, fuselage, gear, ribs, spars, tail, wings


@dataclass(frozen=True)
class Shot:
    """One photograph. ``upright`` pictures are taller than wide; ``orientation`` is how they are stored."""

    file: str
    taken: datetime
    scene: Callable[[], None]
    upright: bool = False
    orientation: int = 1
    owner: str = "marit"


def _shot(
    day: str, time: str, name: str, scene: Callable[[], None], hold: str = "level", owner: str = "marit"
) -> Shot:
    upright, orientation = {"level": (False, 1), "upright": (True, 6), "left": (True, 8), "over": (False, 3)}[
        hold
    ]
    return Shot(
        f"{day}-{name}.jpg", datetime.fromisoformat(f"{day}T{time}"), scene, upright, orientation, owner
    )


SHOTS = (
    _shot("2024-10-12", "14:20", "rib-jig", ribs.in_jig),
    _shot("2024-10-26", "16:45", "rib-stack-eight", ribs.stack_of_eight, owner="bram"),
    _shot("2024-11-16", "18:10", "rib-stack-sixteen", ribs.stack_of_sixteen),
    _shot("2024-11-23", "13:05", "rib-eleven-gusset", ribs.gusset, "over"),
    _shot("2024-12-07", "12:40", "scarf-left", spars.scarf_faces),
    _shot("2024-12-14", "15:30", "spar-left-clamps", spars.clamped, owner="bram"),
    _shot("2024-12-14", "16:05", "spar-left-squeeze-out", spars.squeeze_out, "upright"),
    _shot("2025-01-18", "11:50", "scarf-cut-out", spars.scarf_cut_out),
    _shot("2025-01-25", "16:20", "fuselage-table", fuselage.side_on_table, owner="bram"),
    _shot("2025-02-01", "17:20", "spar-right-trestles", spars.on_trestles),
    _shot("2025-02-08", "16:00", "rear-spars", spars.rear_pair),
    _shot("2025-02-22", "14:15", "root-fittings", fittings.root_plates),
    _shot("2025-03-01", "15:25", "bracket-three-crack", fittings.cracked_bracket),
    _shot("2025-03-04", "20:35", "brackets-six", fittings.six_brackets, owner="bram"),
    _shot("2025-03-15", "17:40", "left-wing-skeleton", wings.left_skeleton),
    _shot("2025-03-22", "16:50", "left-wing-drag-wires", wings.drag_wires),
    _shot("2025-03-29", "18:00", "right-wing-skeleton", wings.right_standing, "upright"),
    _shot("2025-04-12", "15:10", "leading-edge-clamped", wings.leading_edge, owner="bram"),
    _shot("2025-05-03", "14:30", "rib-five-notch", wings.rib_five_notch),
    _shot("2025-05-10", "19:05", "left-wing-covered", wings.left_covered),
    _shot("2025-05-24", "18:30", "right-wing-bottom", wings.right_bottom),
    _shot("2025-05-31", "12:15", "right-wing-opened", wings.right_opened, owner="bram"),
    _shot("2025-06-14", "15:45", "cluster-station-two", closeups.cluster),
    _shot("2025-06-21", "17:15", "fuselage-frame", fuselage.welded_frame),
    _shot("2025-08-16", "16:30", "rudder-frame", tail.rudder_frame, "left"),
    _shot("2025-08-16", "17:55", "tail-surfaces", tail.laid_out),
    _shot("2025-08-23", "11:20", "rudder-undercut", closeups.undercut, owner="bram"),
    _shot("2025-09-06", "15:00", "undercarriage-legs", gear.legs),
    _shot("2025-09-13", "13:40", "wheels-and-brakes", gear.wheels_and_brakes),
    _shot("2025-09-20", "16:10", "brake-plate-filed", gear.filed_plate),
    _shot("2025-09-27", "17:30", "on-its-wheels", fuselage.on_wheels, owner="bram"),
    _shot("2025-10-04", "16:15", "stick-and-torque-tube", equipment.sticks),
    _shot("2025-10-18", "19:20", "turnbuckle-safety-wire", closeups.turnbuckle),
    _shot("2025-10-25", "15:35", "fuel-tank-bench", equipment.tank, "upright"),
    _shot("2025-11-08", "14:50", "firewall-stand-in", airframe.firewall),
    _shot("2025-11-15", "17:00", "engine-mount", engine.mount),
    _shot("2025-12-06", "18:20", "instrument-panel", equipment.panel, owner="bram"),
    _shot("2025-12-13", "15:05", "right-leg-gusset", gear.gusset),
    _shot("2026-01-10", "18:45", "fuselage-covered", fuselage.covered),
    _shot("2026-01-24", "16:30", "rudder-hinge", closeups.hinge),
    _shot("2026-02-07", "14:35", "root-bolt-torque", closeups.root_bolt),
    _shot("2026-02-14", "15:50", "lift-struts", airframe.struts, owner="bram"),
    _shot("2026-02-21", "17:25", "aileron-cable-pulley", closeups.pulley, "upright"),
    _shot("2026-03-14", "13:10", "propeller-stand-in", airframe.plank),
    _shot("2026-03-21", "15:40", "seat-two", equipment.seats),
    _shot("2026-04-11", "14:05", "weighing", airframe.weighing),
    _shot("2026-04-18", "12:00", "windscreen-crack", closeups.windscreen),
    _shot("2026-05-16", "16:55", "strainer-weep", engine.strainer),
)
"""Every photograph, in order of time."""
