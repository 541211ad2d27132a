"""What must be done about each flag, in few words: flags of one act are one walk and one group.

They stand together, and not beside each rule, because what matters is which of them are the same.
"""

from __future__ import annotations

from collections.abc import Mapping

CODES_OF_ACTS: Mapping[str, tuple[str, ...]] = {
    "Make it safe": ("vandalism",),
    "Clear the path": ("path_blocked", "clear_path_short"),
    "Pull the drain plug": ("drain_not_pulled",),
    "Clear the outlet": ("standing_water",),
    "Bring a drain plug": ("plug_missing",),
    "Look before watering": (
        *("full_but_wilting", "soggy_mix", "wick_not_drawing", "overflow_blocked"),
        "overflow_on_arrival",
    ),
    "Water from above": ("newly_planted_dry_top", "overhead_check_overdue"),
    "Bring water": ("running_dry", "runs_dry_before_crew_day"),
    "Look for a leak": ("losing_water", "litres_beyond_capacity"),
    "See to the plants": ("stressed_plants", "falling_health"),
    "Answer a passer-by": ("public_report_waiting",),
    "Ask both who was right": ("check_ins_clash",),
    "Repair": ("broken_part",),
    "Flush the salt out": ("salts_high", "salt_crust"),
    "Finish the start-up": ("start_up_unfinished",),
    "Go and look": ("not_visited",),
    "Put a new tag on": ("tag_damaged",),
    "Bring the proof of draining": ("drained_unproven",),
    "Read the level another way": ("impossible_reading", "gauge_stuck"),
    "Bring less water": ("overfilled_each_visit", "overfilling_litres"),
    "Feed": ("feed_due",),
    "Leave out the next feed": ("fed_twice",),
    "Compare with its like": ("use_far_from_peers",),
}
#: The act of each flag.
ACTS: Mapping[str, str] = {code: act for act, codes in CODES_OF_ACTS.items() for code in codes}
