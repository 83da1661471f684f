"""English: the sentence of each remark's code, and the words of values that are keys."""

from __future__ import annotations

from collections.abc import Mapping

from geom.words.english_cautions import CAUTIONS
from geom.words.english_comparison import COMPARISON
from geom.words.english_open_items import OPEN_ITEM_WORDS, OPEN_ITEMS
from geom.words.english_papers import PAPER_WORDS, PAPERS
from geom.words.english_quantities import QUANTITIES
from geom.words.english_respacing import RESPACING

# What heads the length of a run: of rope, of wire, of wire that is cut to its length on board.
HEADINGS: Mapping[str, str] = {"from reel": "FROM REEL", "cut": "CUT", "final cut": "FINAL CUT, ON BOARD"}

# Words of values, by the list that a placeholder names.
WORDS: Mapping[str, Mapping[str, str]] = {
    "end": {"start": "forward end", "finish": "after end"},
    "side": {
        "S": "starboard",
        "P": "port",
        "C": "across the boat",
        "SI": "starboard hull, inboard",
        "PI": "port hull, inboard",
    },
    "level": {"U": "upper", "M": "middle", "LM": "lower middle", "L": "lower"},
    "rail": {"pulpit": "bow", "pushpit": "stern"},
    "made": {"bench": "on the bench", "board": "on board"},
    "kind": {"splice": "eye", "terminal": "terminal", "wire eye": "eye", "knot": "knot", "sewn": "end", "plain": "end"},
    "lock": {
        "locked Brummel": "locked Brummel",
        "one-ended": "with a one-ended lock",
        "stitched bury": "with a lock-stitched straight bury",
    },
    "slid": {"from_free_end": "from the free end", "before_second_end": "before the second end is made"},
    "eye": {
        "passes": "passes",
        "squeeze": "squeezed through",
        "trial": "trial piece first",
        "in place": "hole too small",
        "line does not pass": "line does not pass",
        "cannot tell": "not determined",
    },
    "thimble": {"not after threading": "not after threading", "cannot tell": "not determined"},
    "covers": {
        "agreed": "the adjusting range covers the error",
        "refused": "the adjusting range does not cover the error",
        "cannot tell": "whether the adjusting range covers the error is not determined",
    },
    "sure": {
        "calc": "worked out",
        "common practice": "common practice",
        "found": "as published",
        "found-2": "read second hand",
        "invented": "invented",
        "memory hi": "from memory, verify",
        "memory lo": "from memory, verify",
        "memory mid": "from memory, verify",
    },
    "hmpe": {"allowed": "allowed", "not allowed": "not allowed", "ask": "to be asked of the organiser"},
    **OPEN_ITEM_WORDS,
    **PAPER_WORDS,
}

SENTENCES: Mapping[str, str] = {
    "joined": "{parts:also}",
    # Where a number comes from.
    "source.boat_file": "boat file",
    "source.both": "{sources:also}",
    "source.clause": "{source} {edition}, {clause} ({sure})",
    "source.common_practice": "common practice, no source",
    "source.girth": "geometry: pi times pin and rope diameter; floor of one rope diameter for a pin not stated",
    "source.gum": "JCGM 100:2008, coverage factor {coverage:g}",
    "source.of": "{what}: {source} ({sure})",
    "source.page": "{source} {page} ({sure})",
    "source.sure": "{source} ({sure})",
    "source.drawing": "tolerances of the drawing, common practice, no source",
    "source.survey_practice": "survey figures of common practice, no source",
    # Places.
    "place.between": "{places:to}",
    "place.boat": "the boat",
    "place.end_on_line": "{place} on {line}",
    "place.line": "{side:side} {level:level} line",
    "place.named": "{name}",
    "place.run_end": "{run}, {end:end}",
    "place.side": "{side:side}",
    "place.single_line": "{side:side}, single line",
    "place.span": "{run}, span {span}: {ends:to}",
    # Axis of a hole.
    "axis.best": "computed for {run}",
    "axis.mean": "mean of {runs:and}",
    "axis.measured": "as measured",
    "axis.no_run": "square, fore-and-aft: no run uses it",
    "axis.planned": "as planned",
    "axis.square": "square, fore-and-aft",
    # Ends through holes.
    "eye.factor": "{times:g} d",
    "eye.goes_squeezed": "passes when squeezed",
    "eye.made_on_board": "made on board",
    "eye.make_on_board": "does not pass: make this end on board",
    "eye.no_width": "the boat file states no width for this end",
    "eye.own_width": "own width",
    "eye.trial": "trial: draw a test piece through, or make this end on board",
    "eye.verdict": "{verdict:eye}",
    "eye_shape.no_length": "eye length to pin diameter: not determined, the length of the eye is not given",
    "eye_shape.no_pin": "eye length to pin diameter: not determined, no pin diameter is stated",
    "eye_shape.eye_under_min": "eye length is {ratio:.2f!} pin diameters, minimum {min:g!} ({source})",
    "eye_shape.eye_under_preferred": "eye length is {ratio:.2f!} pin diameters, {preferred:g!} preferred ({source})",
    "eye_shape.pin_under_min": "pin is {ratio:.2f!} rope diameters, minimum {min:g!} ({source})",
    "eye_shape.pin_under_preferred": "pin is {ratio:.2f!} rope diameters, {preferred:g!} preferred ({source})",
    "end.says": "{end:end}: {says}",
    "part.says": "{part}: {says}",
    "made.both_on_bench": "threaded {direction}: {why}; both ends on the bench",
    "made.end_on_board": "the {end:end} does not pass {hole} ({verdict:eye}) and has more adjustment: made on board",
    "made.end_passes": "the {end:end} passes every hole: both ends are made on the bench",
    "made.neither_way": "neither way goes ready made ({whys:also}): the {end:end} is made on board",
    "made.no_holes": "no stanchion holes: both ends are made on the bench",
    "making.adjustment_last": "the end with more adjustment comes last: it takes up the error of the making",
    "making.on_board_last": "the end made on board comes last",
    "making.same_adjustment": "both ends have the same adjustment: the after end comes last",
    "way.direction": "{direction}: {why}",
    "way.no_holes": "no stanchion holes",
    "way.passes": "the finished {end} goes through every hole",
    "way.stopped": "finished {end} at {hole}: {verdict:eye}",
    "way.stopped_by_bore": (
        "finished {end} at {hole}: {verdict:eye}, needs a hole of {needs_mm:.1f!}, it is {has_mm:.1f!}"
    ),
    "slide_on.too_wide": "{item} ({width_mm:g!}) does not travel through {hole} ({bore_mm:g!})",
    "slide_on.width_not_given": "{item} has to travel through {hole} and its width is not given",
    "thimble.closed": "closed thimble: fit it before the eye is made",
    "thimble.goes_in": "open thimble: eye girth {eye_mm:g!}, thimble girth {thimble_mm:g!}",
    "thimble.no_girth": "the girth of the eye is not given",
    "thimble.none_stated": "no thimble is stated",
    "thimble.too_large": "thimble too large: eye girth {eye_mm:g!}, thimble girth {thimble_mm:g!}",
    "thimble.when": "thimble at the {end:end}: {when:thimble}, {why}",
    "threading.line_too_thick": "the line itself does not go through a hole",
    "fid.no_room": "the fid needs {needs_mm:.0f!} from the throat and the nearest hole is {has_mm:.0f!} away",
    "captive.item": "{item} stays on the line",
    "captive.line": "the line stays in {holes:list} until an end is cut off",
    "tool.messenger_line": "messenger line",
    "part.at_end": "{run}, {end:end}: {part}",
    "part.of_run": "{run}: {part}",
    "cord.of_lashing": "cord for {fitting}",
    "twine.of_splices": "whipping twine, a splice",
    "net.netting": "netting, bar {bar_mm:g!}, {area_m2:.2f} m2 net",
    "net.edge_cord": "rope round the net's edge",
    "net.lacing": "lacing cord of the net",
    # Lengths and their terms.
    "length.not_given": "not given",
    "length.whole": "{length_mm:.0f}",
    "missing.measure": "{key} of {end}",
    "missing.measure_of": "{key} of {end} ({what})",
    "cut.missing": "no cut length: the file gives no {missing:no}",
    "sum.first": "{value:.1f} {term}",
    "sum.less": "- {value:.1f} {term}",
    "sum.plus": "+ {value:.1f} {term}",
    "sum.terms": "{terms:blank}",
    "term.bedding": "{percent:.2f} %: {source}",
    "term.bury": "{times:g} d of {diameter_mm:g}",
    "term.deduction": "deduction of {end}",
    "term.elastic": "{percent:+.3f} % from {marking_n:.0f} at marking to {set_n:set} set",
    "term.finished": "path {path_mm:.1f} - fittings {fittings_mm:.1f}",
    "term.hand_tight": "hand tight",
    "term.trim": "trim {trim_mm:.1f}",
    "term.trim_and_lock": "trim {trim_mm:.1f}, of which {lock_mm:.1f} go into the lock",
    "term.trim_of": "trim of {end}",
    "take_up.between": (
        "take-up not measured on this rope: {min_mm:.0f} to {max_mm:.0f} in all, {expected_mm:.0f} taken, the most in "
        "FROM REEL; make a trial splice first"
    ),
    "take_up.not_measured": "{share:g} of the bury, not measured on this rope: {source}",
    "reel.between": (
        "{from_reel_mm:.0f} = {in_line_mm:.0f} in line at the most take-up ({min_mm:.0f} at the least, not measured)"
        "{parts:plus}, rounded up"
    ),
    "reel.sum": "{from_reel_mm:.0f} = {in_line_mm:.0f} in line{parts:plus}, rounded up",
    "reel.tail": "{length_mm:.0f} tail",
    "reel.trim": "{length_mm:.0f} trim",
    "finished.nothing_left": "the fittings take {fittings_mm:.1f!} of a path of {path_mm:.1f!}: no line is left",
    "deduction.opening_fits": "new, the line is {short_mm:.1f} short and the fittings open by that much",
    "deduction.opening_not_given": (
        "new, the line is {short_mm:.1f} short and the fittings open by that much: how far they open is not given"
    ),
    "deduction.opening_too_small": (
        "new, the line is {short_mm:.1f!} short and the fittings open by that much: they open by {opens_mm:.1f!} only"
    ),
    # Buries and locks.
    "bury.in_hole": "the bury of the {end:end} lies in {hole}",
    "bury.near_hole": "the bury of the {end:end} ends {clear_mm:.0f} from {hole}",
    "bury.one_ended": "{tail:g} d tail, about {bury:g} d bury: the second tuck takes {tuck_mm:.1f} of the tail",
    "bury.room": "the buries need {needs_mm:.0f!} of finished line, there are {has_mm:.1f!}",
    "bury.no_throat": (
        "the buries alone need {needs_mm:.0f} of {has_mm:.1f} of finished line: not determined without the "
        "throat_to_pin of {ends:and}"
    ),
    "bury.short": "bury of {has:g!} d is shorter than {min:g!} d",
    "bury.full_section_short": (
        "full section {full_mm:.1f} ({times:g} d) of a bury of {bury_mm:.1f}: the taper leaves less than {share:g} "
        "of it ({source})"
    ),
    "bury.short_by_source": "bury of {has:g!} d is shorter than {min:g!} d ({source})",
    "lock.bury_carries": "a lock alone does not carry the line: the whole bury does",
    "lock.one_ended_instead": "{end}: the standing part cannot be passed at the end made last; one-ended instead",
    "girth.no_pin": (
        "{end:end}: {has_mm:.1f!} of rope round {name} does not go round a pin as thick as the rope: at least "
        "{needs_mm:.1f!}; state the pin"
    ),
    "girth.pin": "{end:end}: {has_mm:.1f!} of rope round {name} does not go round its pin: at least {needs_mm:.1f!}",
    "girth.thimble": "{end:end}: {has_mm:.1f!} of rope round {name} is less than the thimble's {needs_mm:.1f!}",
    "stitching.none_locked": "{end:end}: the lock is not stitched: it may work loose while the line is slack",
    "stitching.none_straight": "{end:end}: a straight bury without stitching slips at low load",
    "lock.straight_bury_slips": "a straight bury slips at low load: it has to be lock-stitched",
    # What would fit instead.
    "instead.bearing": "finished {finished_mm:.1f}{beyond}; no bury",
    "instead.continuous": "one line with {run}, stop spliced or seized at {post}, no knot",
    "instead.continuous_fits": "finished {finished_mm:.1f}, buries {needs_mm:.0f}; stop {stop_mm:.1f} clear",
    "instead.continuous_to_check": "stop in the {bore_mm:.1f} bore of {hole}, slip, drop",
    "instead.fitting": "{fitting} {length_mm:.1f}",
    "instead.plus": ", plus {fittings:and}",
    "instead.thinner": "a thinner rope",
    "instead.open_hole": "open {hole} for the swage, finished ashore",
    "instead.open_hole_by": "from {has_mm:.1f!} to {needs_mm:.1f!}, by {more_mm:.1f}",
    "instead.open_hole_to_check": "wall left beside the hole and the stanchion's strength there; edges rounded again",
    "instead.terminal": "a compression terminal in place of the swage",
    "instead.terminal_by": "made on board with hand tools; its deduction is another, so the cut is worked out again",
    "instead.terminal_to_check": "its strength, 90 % of the wire or more; wire size and lay; its thread",
    "instead.thinner_kept": (
        "two buries of {times:g} d fit up to {diameter_mm:.1f!}; rule's minimum {min_mm:.1f!} ({source}, {sure:sure})"
    ),
    "instead.thinner_too_thin": (
        "two buries of {times:g} d fit up to {diameter_mm:.1f!}; under the rule's minimum of {min_mm:.1f!} ({source}, "
        "{sure:sure}): not admitted"
    ),
    "stud.bearing_not_stated": "{end:end}: what the stud bears on is not stated: taken as its tip",
    "stud.engaged_not_stated": "{end:end}: the thread engaged is not stated",
    "wire.over_coating_not_stated": (
        "{line}: what it measures over its coating is not stated: its holes are judged by the wire alone"
    ),
    "wire_end.insertion_not_stated": (
        "{end:end}: how far the wire goes into {name} is not stated: mark it on the wire by the terminal's own bore"
    ),
    "wire_end.not_stranded": "{end:end}: {construction} has no strands to tuck: 7x7 and 7x19 wire is spliced by hand",
    "wire_end.stud_runs_out": (
        "{end:end}: with {fitting} fully open {left_mm:.1f!} of the stud's thread is left in it, of {least_mm:.1f!} at "
        "least"
    ),
    "wire_end.swage_first": (
        "{end:end}: before swaging {name} is {before_mm:.1f!} wide, too wide for {holes:and}: swage it before threading"
    ),
    "swage.on_board": "the swage of the {end:end} would have to be made on board: {hole} does not take it",
    "terminal.in_hole": (
        "{end:end}: the rigid {rigid_mm:.1f} of {name} reach into {hole}: the line would bend at its mouth"
    ),
    "terminal.rigid_at_angle": (
        "{end:end}: {name} is rigid over {rigid_mm:.1f}, {width_mm:.1f!} wide: at the line's {angle_rad:.1f} "
        "{hole} clears {clear_mm:.1f!}: slack the line off and turn it into the hole's axis"
    ),
    "terminal.rigid_if_square": (
        "{end:end}: {name} is rigid over {rigid_mm:.1f}, {width_mm:.1f!} wide: at the line's {angle_rad:.1f} "
        "{hole} clears {clear_mm:.1f!} if it is square, which was not measured: slack the line off and turn it into "
        "the hole's axis"
    ),
    "terminal.rigid_not_stated": (
        "{end:end}: the rigid length of {name} is not stated: judged in {hole} by its width only"
    ),
    "instead.thinner_fits": "two buries of {times:g} d fit up to {diameter_mm:.1f}",
    "instead.thinner_to_check": "rule in force: breaking load, minimum diameter",
    "instead.webbing": "webbing sewn round rings",
    "instead.webbing_to_check": "rule in force, load as sewn, sunlight",
    "instead.wire": "wire with terminals",
    "instead.wire_to_check": "rule in force, breaking load; broken wires cut",
    "instead.wire_to_check_holes": "rule in force, breaking load, terminals through holes",
    # Ends and what they bear on.
    "anchorage.not_given": "the pin or bar at {at} is not given",
    "hand.both_studs": (
        "{end:end}: both studs of {fitting} would be {hand}-hand: it cannot be screwed shorter or longer"
    ),
    "hand.not_given": "{end:end}: hand of the thread of {fitting} is not given and stays blank",
    "hand.same_on_both_sides": "{end:end}: {parts:and} are both {hand}-hand in {fitting}",
    "hook.no_range": (
        "{fitting}: no adjusting range is stated; without one the line has to come out right, or another fitting "
        "takes the error"
    ),
    "jaw.over_plate": "{end:end}: jaw of {jaw_mm:g!} over a plate of {plate_mm:g!}",
    "lashing.gap": "lashing gap at {at}: min {min}, planned {planned}, max {max}",
    "lashing.let_out": "planned; it can be let out to {max_mm:g}",
    "metals.at_end": "{end:end}: stainless on aluminium: part them electrically",
    "metals.wire_in_tube": "stainless wire through the aluminium tube of {post}: part them with a liner",
    "pin.in_hole": "{end:end}: pin of {pin_mm:g!} in a hole of {hole_mm:g!}",
    "stop.holds": "{stop}: {width_mm:g!} against the {bore_mm:g!} of {hole}",
    "stop.no_hole": "{stop}: its hole is not given",
    "stop.no_width": "{stop}: its width is not given",
    "stop.pulls_through": "{stop}: {width_mm:g!} pulls through the {bore_mm:g!} of {hole}",
    "toggle.wanted": "{end:end}: the line leaves the plate's plane by {angle_rad:.1f}: a toggle is needed",
    "wire.oversize": "{hole}: the wire may be {wire_mm:.2f!} thick and the bore is {bore_mm:.2f!}",
    # Error against range.
    "budget.over_shop_practice": "the error of {error_mm:.1f!} is over the {accepted_mm:g!} that one shop accepts",
    "budget.range_covers": "{way}: needs {needs_mm:.1f!} of {has_mm:.1f!}",
    "budget.range_not_given": "{way}: needs {needs_mm:.1f}, the range of the fittings is not given",
    "budget.range_too_small": "{way}: needs {needs_mm:.1f!}, the fittings allow {has_mm:.1f!} only",
    "budget.once_measured": (
        "before the first eye is measured, {says}; after that the error is {after_mm:.1f} and the range covers it"
    ),
    "budget.then": "{says}; once the first eye is measured the error is {after_mm:.1f}",
    "budget.skewed": (
        "the linear figure of {linear_mm:.1f} does not hold here: drawn, the error is {drawn_mm:.1f} about a mean of "
        "{mean_mm:+.1f}, since errors square to a short span only make it longer"
    ),
    "budget.verdict": "{verdict:covers} ({ways:also})",
    "budget.without_bedding": "{says}; bedding-in is not stated and not in these figures",
    # Tensions.
    "pull.marking_short": "{pull_n:.0f}",
    "pull.marking_practice": "{pull_n:.0f}, a steady pull of {low_n:.0f} to {high_n:.0f}",
    "pull.at_top": "{pull_n:up}",
    "pull.recommended": "{pull_n:up}, recommended",
    "pull.pre_stretch": "{low_n:.0f} to {high_n:.0f} ({low_percent:.0f} to {high_percent:.0f} % of break)",
    "pull.pre_stretch_short": "{low_n:.0f} to {high_n:.0f}",
    "pull.pre_stretch_share": "{low_percent:.0f} to {high_percent:.0f} % of break, which is not stated",
    "pull.set": "{pull_n:.0f} ({hung_kg:.0f} kg, {percent:.0f} % of break)",
    "pull.set_of_unknown_break": "{pull_n:.0f} ({hung_kg:.0f} kg)",
    "pull.source_of_set": "set pull: {source}; it seats the splice and proves nothing",
    "pull.source_of_stretch": "pre-stretch: {source}",
    "pull.set_stated": "{pull_n:set}",
    "pull.stated": "{pull_n:.0f}",
    "marking.changes_length": (
        "a steady pull of {low_n:.0f} to {high_n:.0f} while marking changes the length by {by_mm:.1f} each way, more "
        "than the {tape_mm:.1f} of the tape: state the marking tension"
    ),
    "set_tension.not_stated": (
        "no set tension stated for {runs:list}: lengths, loads and steps are at the recommended one, by the push test "
        "of {edition}, {force_n:.1f} at mid-span: {tensions:list}"
    ),
    "set_tension.over_hand": "set tension of {set_n:set!} is over the {by_hand_n:.0f!} that is set by hand",
    "tension.assumed": "set to: {tensions}",
    "tension.by_practice": (
        "recommended, common practice, no source: {force_n:.1f} at mid-span {between:to}, {limit_mm:.0f} at most, as "
        "aft of the mast"
    ),
    "tension.by_push_test": (
        "recommended by the push test of {edition}: {force_n:.1f} at mid-span {between:to}, {limit_mm:.0f} at most"
    ),
    "tension.ends_may_give": "needs {needed_n:up} where ends may deflect",
    "tension.marking_practice": "common practice, no source: a steady pull of {low_n:.0f} to {high_n:.0f}",
    "tension.none_pulls": "no line under tension",
    "tension.of_run": "{run} {tension_n:set}",
    "tension.none_on_rigid_ends": "on rigid ends no tension is needed",
    "tension.rigid_ends": "on rigid ends, line sliding freely: {needed_n:up} or more",
    "tension.slack_on_rigid_ends": "on rigid ends no tension is needed: up to {slack_mm:.1f} of slack is permitted",
    "tension.stated": "stated in the boat file",
    "tension.while_loaded": "{needed_n:up} under load would be enough",
    # Steps of threading and making.
    "marks.eye_to_eye": "EYE MARK TO EYE MARK",
    "marks.from_throat": "FROM THE MADE EYE'S THROAT",
    "marks.length_of": "{length_mm:.0f} {marks}",
    "marks.line_length": "the line's length",
    "marks.of_length": "{marks} {length_mm:.0f}",
    "marks.of_splices": "slack and straight, from the trimmed end",
    "check.first_eye": (
        "{expected_mm:.0f}, accept {low_mm:.0f} to {high_mm:.0f}; under {under_mm:.0f} or over {over_mm:.0f} make the "
        "splice again, else set the other EYE by what is measured"
    ),
    "check.on_board": "{expected_mm:.0f}, accept {low_mm:.0f} to {high_mm:.0f},",
    "check.second_eye": (
        "{expected_mm:.0f}, accept {low_mm:.0f} to {high_mm:.0f}; reject under {under_mm:.0f} or over {over_mm:.0f}"
    ),
    "check.second_eye_only": "{expected_mm:.0f}, accept {low_mm:.0f} to {high_mm:.0f}",
    "step.bring_back": "take the line off again",
    "step.bury": "bury the tail, milk; lock-stitch or whip {start_mm:.0f} to {end_mm:.0f} from the throat, two rows",
    "step.cut_trim": "cut {trim_mm:.0f} trim off the end for {at}",
    "step.eye_short_of_pin": "EYE stands {check} short of the pin at {at}, else stop: the boat governs",
    "step.keep_beyond_eye": "at {at} keep {eye_mm:.0f} beyond EYE, cut off the rest, about {rest_mm:.0f}",
    "step.measure_finished": "measure bearing to bearing at the marking tension: {check}",
    "step.measure_first_eye": "measure from its throat to EYE for {at}: {check}",
    "step.milk_again": "milk again",
    "step.never_through": "never pull through {posts:and}",
    "step.never_through_yields": "never pull through {posts:and}: {post} yields at about {yields_n:.0f}",
    "step.off_the_reel": "cut {from_reel_mm:.0f} from the reel",
    "step.slack_off": "slack off {slack_mm:.0f} at {at} for the bury",
    "step.stopper": (
        "set pull on the eye at {at}: {pull}, against a stopper (long gripping hitch) on the rope {low_mm:.0f} to "
        "{high_mm:.0f} from ZERO"
    ),
    "step.try": "try the line on board",
    "step.try_through": "try the line on board, the free end through {holes:and}",
    "step.before_end": "on the line before the {end}: {part}",
    "step.between_strong_points": "between strong points, never against stanchions or rails",
    "step.check_from_throat": "check {marks} to EYE at {at}, mark again",
    "step.check_marks": "check its marks at {at} against the layout, mark again, cut",
    "step.cut_beyond_eye": "keep beyond EYE what the splice sheet says, cut the rest",
    "step.fasten": "fasten at {at} by the {fittings:and_the}",
    "step.fasten_again": "fasten at {at} by the {fittings:and_the} again",
    "step.fasten_again_pin": "pin the {kind:kind} at {at} again",
    "step.fasten_pin": "pin the {kind:kind} at {at}",
    "step.finished_end_through": "draw the finished {end} through {holes:then} with a messenger line",
    "step.free_end_through": "thread the free end, taped, through {holes:then}",
    "step.haul": "haul the free end taut",
    "step.haul_at_tension": "haul the free end taut at the marking tension",
    "step.long_marks": "{marks} under the marking tension, {pull}",
    "step.make": "make the {at} end {where:made}: {family}{details:more}",
    "step.gauge": "gauge it along its whole length: GO {go_mm:gauge} passes, NO GO {no_go_mm:gauge} does not",
    "step.gauge_go": "gauge it along its whole length: GO {go_mm:gauge} passes",
    "step.hand_splice": (
        "seize it {tail_mm:.0f} from its end, unlay the strands to there; {whole:g} tucks with whole strands, {half:g} "
        "with half of the wires of each cut out; hammer it round, serve it"
    ),
    "step.insertion_at_mouth": "the mark stays at the mouth",
    "step.strip_coating": "take the coating off over {insertion_mm:.1f}, the wires unmarked",
    "step.mark_insertion": "mark the wire {insertion_mm:.1f} from its end, put it in up to the mark",
    "step.mark_again_from": "mark the line again from that {kind:kind}, check against the layout, cut",
    "step.mark_eye_again": "mark EYE for {at} again at the marking tension, {marks}",
    "step.mark_rope": "mark its length, {length_mm:.0f}, under the marking tension, {pull}",
    "step.mark_wire_under": "lay the wire out and mark its length, {length_mm:.1f}, under the marking tension, {pull}",
    "step.measure_between_ends": "measure between the ends",
    "step.pins_last": "split pins and lock nuts last",
    "step.pre_stretch": "pre-stretch at {pull}",
    "step.set": "set the line ({pull}) and write the log",
    "step.set_pull": "set pull on the eye at {at}: {pull}",
    "step.slide_on": "slide on {item}, {when:slid}",
    "step.slide_on_for": "slide on {item} for {hole}, {when:slid}",
    "step.splice_marks": "splice marks {marks}",
    "step.take_off": "take the {fittings:and_the} off at {at}",
    "step.take_off_pin": "unpin the {kind:kind} at {at}",
    "step.then_mark_from_it": "then mark the line again from it",
    "step.thimble_in": "thimble into the eye at {at}",
    "step.with_lock": "{lock:lock}",
    "step.with_thimble": "thimble in",
    "step.without_thimble": "no thimble yet",
    # Build log.
    "log.after_a_day": "after a day",
    "log.after_a_month": "after a month",
    "log.after_a_week": "after a week",
    "log.each_season": "look again at the start of each season",
    "log.first_splice": "first splice",
    "log.first_terminal": "first terminal",
    "log.lashings_yearly": "lashings renewed, yearly",
    "log.lay_out_and_mark": "lay out and mark",
    "log.mark": "mark",
    "log.mark_cut": "mark again, cut",
    "log.pre_stretch": "pre-stretch",
    "log.pull_first": "set pull on the first",
    "log.pull_second": "set pull on the second",
    "log.second_splice": "second splice",
    "log.second_splice_on_board": "second splice on board",
    "log.second_terminal": "second terminal",
    "log.second_terminal_on_board": "second terminal on board",
    "log.set": "set",
    "log.thread": "thread",
    "log.thread_mark_cut": "thread, mark again, cut",
    # Open gates.
    "gate.lines_stay_taut": (
        "the lines before and behind end at {posts:and} and stay taut; each stanchion then takes the pull of one side "
        "alone; {loose_mm:.0f} hang loose"
    ),
    "gate.line_beside_stays_taut": (
        "the line beside it ends at {post} and stays taut; the stanchion then takes the pull of that line alone; "
        "{loose_mm:.0f} hang loose"
    ),
    "gate.between_rails": "no other line ends at its supports; {loose_mm:.0f} hang loose",
    "gate.side_falls_slack": (
        "without a stop at {post} the whole side falls slack: {free_mm:.0f} come free, {drop_mm:.0f} down under a hand "
        "at mid-span of {span_mm:.0f}; with a stop {stopped_free_mm:.0f} and {stopped_drop_mm:.0f}"
    ),
    # Strength and loads.
    "strength.from_memory": "no certificate; {value:g} {unit} from memory only, verify",
    "strength.no_breaking_load": "no breaking load stated",
    "strength.no_cord_load": "the cord's breaking load is not given",
    "strength.no_line_in_table": "no certificate, and no table holds this line",
    "strength.no_size_in_table": "no certificate, and no table holds this size",
    "strength.not_given": "not given",
    "strength.as_set_not_shown": "not shown by calculation",
    "strength.not_shown": "not shown by calculation",
    "strength.choices": (
        "a certificate of 0.2 % proof stress {needed_mpa:up} or more would show it, or a type test of the stanchion, "
        "or a pull test on board with {pull_n:up} at the top, {way}, and no permanent set"
    ),
    "strength.choices_without_pull": (
        "a certificate of 0.2 % proof stress {needed_mpa:up} or more would show it, or a type test of the stanchion"
    ),
    "strength.not_stated": "no strength stated",
    "strength.top_load_not_shown": "not shown by calculation",
    "strength.of_lashing": "{turns:g} turns, share {share:g}: {source}",
    "strength.share": "{share:g} {unit}: {source}",
    "strength.stated_from": "stated from: {source}",
    "strength.stop_slips": "slips: {source}",
    "link.named": "{link}",
    "links.no_strength": "strength not stated: {links:list}",
    "links.no_weakest": "weakest link: not determined",
    "links.not_known": "not known: {links:list}",
    "links.weakest": "{link} is the weakest known link: {tension_n:.0f} of {strength_n:.0f}, {percent:.0f} %",
    "option.coated_wire": "some rules forbid coated wire: see the rule sheet",
    "option.no_breaking_load": "no certificate: its breaking load is not stated",
    "option.rope_by_rule": (
        "whether rope is accepted depends on the rule, its edition and the category: see the rule sheet"
    ),
    "fall.at": "{person}, span {span}, {place}",
    "fall.beside": "{off_mm:.0f} from {at}",
    "fall.line": (
        "{force_n:.0f} across the line: tension {tension_n:.0f}, {times:.1f} times the load, deflection "
        "{deflection_mm:.0f} (free {free_n:.0f}, {free_deflection_mm:.0f}; locked {locked_n:.0f}, "
        "{locked_deflection_mm:.0f}); stanchions rigid: an upper bound"
    ),
    "fall.mid_span": "mid-span",
    "fall.none": "none calculated",
    "not_known.friction": "{run}: friction in its holes",
    "not_known.proof_stress": "{post}: proof stress of the tube",
    "not_known.stiffness": "{run}: stiffness of the line",
    "not_known.elastic_modulus": "{post}: elastic modulus of the tube",
    "post.at": "at {place}",
    "post.bends": "{foot_nmm:.0f} at the foot, {stress_mpa:.0f} at {place} ({moment_nmm:.0f})",
    "post.collapsed": (
        "{bends} against {proof_mpa:.0f} proof stress ({source}): collapsed, {share:.2f} of the plastic moment"
    ),
    "post.gate_open": "{post}, gate open",
    "post.no_proof_stress": "{bends}; the tube's proof stress is not known: not determined",
    "post.plastic_share": "{share:.2f} of the plastic moment",
    "post.stands": "{bends} against {proof_mpa:.0f} proof stress ({source}), {share:.2f} of the plastic moment",
    "post.stress_by_way": "{way} {stress_mpa:.0f} at {place}",
    "posts.give_less_tension": "with flexible stanchions the tension is lower",
    "proof_stress.from": "proof stress: {source}",
    "proof_stress.no_grade": "no proof stress known for grade {grade}",
    "proof_stress.of_grade": "{grade}, {source}, {sure}",
    "line.on_hold": "on hold: do not cut",
    # Push test.
    "push.cannot_hold": "this tension cannot carry the force",
    "push.gives_on_rigid_ends": "deflection {gives_mm:.1f} on rigid ends with the line sliding freely",
    "push.limit_between_bounds": "the limit is between the bounds",
    "push.mast_beside": "this span straddles the mast",
    "push.no_mast": "the boat file does not state the position of the mast",
    "push.no_stiffness": "the stiffness of the line is not known",
    "push.set_to": "set to {tension_n:set}",
    "push.set_to_recommended": "set to {tension_n:set}, recommended: the boat file states none",
    "push.span": "{supports_mm:.1f} between supports, {line_mm:.1f} of line",
    "push.span_may_not_count": "whether this span counts is not determined",
    # Findings.
    "printed.of_required_wire": "that of the required wire, {size}: {construction}, the weakest in use ({source})",
    "printed.never_outboard": "never outboard of the deck edge",
    "printed.the_greater": "{limits:or}, the greater",
    "printed.under_force": "{limit} under {force}",
    "finding.angle_known_within": (
        "marginal: known as {value_rad:.1f} ±{within_rad:.1f}, the limit is within that range ({source})"
    ),
    "finding.known_within": (
        "marginal: known as {value_mm:.1f} ±{within_mm:.1f}, the limit is within that range ({source})"
    ),
    "limit.contested": "contested: {reason}",
    "limit.met_as_also_printed": "meets the {printed} that the rule prints as well",
    "limit.from_memory": "limit from {sure}: verify",
    "line.with_source": "{says} [{source}]",
    "edition.binds_others": "binding for {boats}, not named in the boat file",
    "edition.from_memory": "edition {edition}, from memory, verify",
    "edition.named": "edition {edition}",
    "edition.not_read": "not read in edition {edition}",
    "edition.note": "{note}",
    "rules.none_named": "the boat file names no rules: all known ones are applied; name those that bind this boat",
    "waiver.by": "waived by {who}, {date}: {why}",
    "waiver.of_nothing": "'{finding}' matches no finding",
    "waiver.whose": "by {who}, {date}: {why}",
    "measure.by_hand": 'not in the coordinates: measure it on board and state "{key}" in the boat file',
    "edge.above_it": "above the deck edge",
    "edge.not_taken": "the deck edge was not surveyed there",
    "height.at_foot": "{above_deck_mm:.1f} above the deck at the foot, {above_edge_mm:.1f} above the deck edge",
    "height.at_foot_only": "{above_deck_mm:.1f} above the deck at the foot, the deck edge was not surveyed there",
    "height.at_x": "at X {x_mm:.1f}: {says:also}",
    "height.between_feet": (
        "{above_deck_mm:.1f} above the deck between the feet, {above_edge_mm:.1f} above the deck edge"
    ),
    "height.nowhere_over": "the upper line is nowhere higher than {limit_mm:g}",
    "bore.too_small": "needs a bore of {needs_mm:g}: drill out, fit a larger bush or use a thinner line",
    "edge.not_chosen": "no choice is stated for the edges of {count} holes: every figure is for the bare bore",
    "edge.option": "{choice}: bore {bores_mm:list} as it is, radius {radius_mm:g}, by {made_by}",
    "edge.option_lined": "{choice} of {wall_mm:g} wall: bore {bores_mm:list}, radius {radius_mm:g}, by {made_by}",
    "edge.option_narrow": "{says}, too narrow in holes of {holes_mm:list}",
    "edge.option_turns": "{says}; then an end made on board: {runs:and}",
    "edge.short": "{edge}: a smaller radius than is common practice for rope",
    "retention.by": "held by {held}",
    "retention.not_stated": "what holds the tube in its socket is not stated",
    "retention.set_screw_alone": "held by a set screw alone, which can work loose: pin or bolt the tube through",
    "hole.near_top": "closer to the top than 1.5 hole diameters",
    "hole.wide_for_tube": "wider than half the tube diameter",
    "holes.upper_below_lower": "the upper hole is below the lower one",
    "lips.both_touched": "the line touches both lips",
    "lips.clear": "clear: line at {line_rad:.1f!}, free up to {free_rad:.1f!}",
    "lips.direction_not_measured": "the hole's direction was not measured",
    "lips.if_square": "if square and fore-and-aft: {says}",
    "lips.touch": "touches both lips: line at {line_rad:.1f!}, free up to {free_rad:.1f!}",
    "pair.do_not": "DO NOT PAIR: cut each side to its own length",
    "tube.taken_as_straight": "tube taken as straight",
    "gates.second_by_reading": "the text allows a gate on each side; that a second one is barred is a reading of it",
    "gates.named": "{gates:list}",
    "gates.across": "the text allows a gate in the lines on each side; it says nothing about one across the boat",
    "continuity.across": (
        "the text speaks of lines made fast at or near bow and stern; it says nothing about a line across the boat"
    ),
    "continuity.fast_between": "made fast at {at}, which is neither bow, stern nor gate",
    "continuity.in_one": "pulpit to pushpit in one",
    "continuity.near_end_not_stated": "the boat file does not state whether {at} is at or near the {rail:rail}",
    "continuity.no_line": "no line between {places:and}",
    "continuity.opened_at_gate": "pulpit to pushpit, opened at the gate only",
    "brace.between_bounds": (
        "its brace is taken as rigid; without it the stress is {stress_mpa:.0f}: the limit is between the bounds"
    ),
    "category.design": "design category {category}",
    "category.no_design": "no design category stated",
    "launch.date": "first launched {date}",
    "launch.not_stated": "the date of first launch is not stated",
    "hull.both_lengths": "hull length {hull_mm:m.3f!}, overall {overall_mm:m.3f!} against {against_mm:mg!}",
    "hull.which_length": (
        "hull length {hull_mm:m.3f!}, overall {overall_mm:m.3f!} against {against_mm:mg!}: the text does not state "
        "which of them it means"
    ),
    "low_line.admitted": "hull length {hull_mm:m.3f}, design category {category}: low line admitted",
    "low_line.category_d_not_read": "hull length {hull_mm:m.3f}; the text for category D was not read",
    "low_line.hull_too_long": "hull length {hull_mm:m.3f!} is over {max_mm:m.2f!}: low line not admitted",
    "low_line.no_category": (
        "hull length {hull_mm:m.3f} would admit the low line in category C, but no design category is stated"
    ),
    "low_line.not_admitted": "hull length {hull_mm:m.3f}, design category {category}: low line not admitted",
    "scope.hull_too_long": "hull length {hull_mm:m.3f!} is over {max_mm:mg!}: beyond the scope of the standard",
    "service.not_stated": (
        "910 mm (36 in) except for an excursion vessel, a ferry or under a load line: the boat file does not state it"
    ),
    "single_line.admitted": "single line admitted: hull length {hull_mm:m.3f}, category {category}",
    "single_line.between": "between {printed:and}",
    "single_line.category": "category {category} is neither 3 nor 4",
    "single_line.hull_too_long": "hull length {hull_mm:m.3f} is not under {printed}",
    "single_line.more_than_one": "this side has more than one line",
    "single_line.no_category": "hull length {hull_mm:m.3f} would allow a single line, but no category is stated",
    "single_line.not_admitted": "single line not admitted: {why}",
    "line.construction": "{construction}",
    "line.made_of": "{line}, {material}",
    "line.material": "{material}",
    "line.neither_wire_nor_hmpe": "neither stainless wire nor HMPE",
    "line.not_wire_but_hmpe": "not wire: see admission of HMPE",
    "wire.coated": (
        "corroded plastic-coated lines broke below {percent:g} % of their rated strength ({source}): salt water "
        "collects under the coating and the wire corrodes in the crevice, unseen"
    ),
    "wire.coated_remedy": (
        "renew it with bare wire; until then cut a drain in the coating at its lowest point, look at both its ends for "
        "rust, and do not take its rated strength as its strength"
    ),
    "net.loads_and_hides": (
        "a sail, a wave or a person in a net loads its line and stanchions more than a line alone, and what it is "
        "laced to is not seen: open the lacing once a year and look at line, splices and holes"
    ),
    "net.not_in_the_loads": "the loads calculated here are those of lines without nets",
    "wire.grade_recommended": "316 is recommended, not required",
    "wire.sleeves_not_in_file": "sleeves are not in the boat file",
    "wire.stainless_not_stated": "the boat file does not state whether it is stainless",
    "hmpe.admission": "HMPE {answer:hmpe}: {why}",
    "hmpe.by_table": "{reason} ({source})",
    "hmpe.category_not_known": "not known for edition {edition}, {hulls}hull, category {category}",
    "hmpe.diameter_over_cover": "the boat file states the diameter over the cover only",
    "hmpe.edition_not_known": "not known for edition {edition}, {hulls}hull, without a category",
    "hmpe.national_rules": (
        "national rules differ: Australia since 25 May 2022 admits it for multihulls, for monohulls in categories "
        "4 to 7; New Zealand where it is sheathed and as strong as the wire"
    ),
    "hmpe.no_category": "no category is stated, on which it depends",
    # Why a clause makes no finding, or cannot be computed.
    "clause.anchorages_not_in_file": "the strength of anchorages is not in the boat file",
    "clause.bases_seen_on_board": "how stanchions are held in their bases has to be inspected on board",
    "clause.contested_load": "contested: prints daN, ten times ISO 15085",
    "clause.fixing_seen_on_board": "bolts and welds have to be inspected on board",
    "clause.harness_line": "a harness line, not a guard line",
    "clause.no_socket": "no base of this boat has a socket",
    "clause.no_rope_in_holes": "no rope passes a hole",
    "clause.no_line_on_posts": "no line pulls on a stanchion",
    "clause.no_gate": "the boat file names no gate",
    "clause.no_net": "the boat file has no net",
    "clause.no_coated_wire": "no line of this boat is coated wire",
    "clause.no_hmpe": "no line of this boat is HMPE",
    "clause.no_lashing": "no line of this boat is made fast by a lashing",
    "clause.no_lower_line": "no line below the upper one on this boat",
    "clause.no_post_with_two_holes": "no stanchion of this boat has two holes",
    "clause.no_twin": "no line has a counterpart on the other side",
    "clause.no_wire": "no line of this boat is wire",
    "clause.nothing_to_check": "not applicable to this boat",
    "clause.one_line_only": "one line only: nothing between lines",
    "clause.other_binds": "{why:also}: {clause} binds",
    "clause.person_says_if_bound": "where 22.2.2 and 22.2.3 do not apply: to be decided by a person",
    "clause.person_says_which": "refers some craft to ISO 15085: to be decided by a person",
    "clause.posts_in_schedule": "not judged: loads on stanchions and bases are in schedules/post-loads.csv",
    "clause.pulpit_not_in_file": "the rail of the pulpit and the headstay are not in the boat file",
    "clause.rigid_rail": "a load on a rigid top rail; guard lines are not rails of that kind",
    "clause.see_other": "{why:also}: see {clause}",
    "clause.splices_seen": "splices and chafe protection have to be inspected, they are not computed",
    "clause.text_not_read": "text not read",
    "clause.wants_test": "needs a test or the certificate of the stanchion",
    **QUANTITIES,
    **CAUTIONS,
    **OPEN_ITEMS,
    **PAPERS,
    **RESPACING,
    **COMPARISON,
}
