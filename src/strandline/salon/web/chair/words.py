"""The words of the chair's page: JavaScript holds none of its own."""

from __future__ import annotations

from strandline.salon.web.words import _


def chair_words() -> dict[str, str]:
    """Give every text of the chair by its key; {names} are filled in on the device."""
    return {
        **_way_words(),
        **_clock_words(),
        **_ask_words(),
        **_kept_words(),
    }


def _way_words() -> dict[str, str]:
    return {
        "section_of": _("Section {at} of {of}"),
        "foils_head": _("Foils {foils}"),
        "foil_head": _("Foil {foils}"),
        "foils_open": _("From foil {foil} on"),
        "foils_inside": _("foils {foils}"),
        "foil_inside": _("foil {foils}"),
        "from_bowl": _("from the {bowl}"),
        "begin": _("First foil in"),
        "place": _("Last foil closed"),
        "place_then": _("Last foil closed, on to {foils}"),
        "pause": _("Closed, not on yet"),
        "about_foil": _("about foil {foil}"),
        "since": _("for {minutes} min"),
        "later": _("{band} from the {bowl} bowl {minutes} min later, at {time}"),
        "later_plan": _("{band} from the {bowl} bowl {minutes} min later"),
        "all_placed": _("All foils are in"),
        "wait_until": _("Nothing to do until {time}"),
        "wait_for_check": _("Then look at {foils}"),
        "wait_for_out": _("Then {foils} come out"),
        "check_now": _("Look at {foils}"),
        "check_how": _("Wipe a spot, pinch it dry, judge"),
        "wipe_now": _("Wipe {foils}"),
        "rinse_now": _("Rinse {foils} and what was wiped"),
        "rinse_head": _("Rinse the whole head"),
        "tap_wiped": _("They are wiped"),
        "tap_rinsed": _("It is rinsed"),
        "tap_check": _("I look now"),
        "hurt": _("Rinse at once"),
        "hurt_why": _(
            "She feels it: that stands above every clock. Harm goes on after pain stops."
        ),
        "gloss_next": _("On it goes: {place}"),
        "gloss_at": _("from {time} on"),
        "tap_gloss": _("It is on"),
        "turning": _("The tone turns"),
        "turning_how": _("Look often: what is right is rinsed at once"),
        "finish": _("Dry it, look at it, judge it"),
        "tap_finish": _("The visit is over"),
        "ended": _("The visit is over"),
        "tap_ended": _("What was done"),
        "felt_before": _(
            "She felt it today: look at the skin first. On hurt skin nothing more goes on."
        ),
        "back": _("Back"),
        "back_takes": _("It takes back what was tapped at {time}"),
        "nothing_back": _("Nothing to take back"),
        "count": _("{count} foils in this section"),
        "count_one": _("1 foil in this section"),
        "count_less": _("One foil less"),
        "count_more": _("One foil more"),
    }


def _clock_words() -> dict[str, str]:
    return {
        "no_clocks": _("No foil is in."),
        "in_min": _("{minutes} min"),
        "over_min": _("{minutes} min over"),
        "due_at": _("due {time}"),
        "due_range": _("{low} to {high} by what is known"),
        "label_at": _("label {time}"),
        "check_at": _("look {time}"),
        "state_waits": _("lifting"),
        "state_check": _("look now"),
        "state_due": _("due now"),
        "state_label": _("the label's longest time is past: take out now"),
        "state_unknown": _("its start is not known: look now"),
        "more_groups": _("and {count} more, due later"),
        "check": _("Look"),
        "wiped": _("Wiped"),
        "turned": _("Tone"),
        "gloss_waits": _("first look {time}"),
        "gloss_look": _("look now"),
        "gloss_window": _("in its window until {time}"),
        "gloss_past": _("its window is past: rinse now"),
        "rinse_place": _("Rinsed"),
        "missed": _("It missed"),
        "not yet": _("not yet"),
        "nearly": _("nearly"),
        "there": _("there"),
        "past": _("past"),
        "alarm_hurt": _("Rinse at once, whatever any clock says"),
        "alarm_label": _("Label's longest time past: take out {foils} now"),
        "alarm_due": _("Due: {foils} come out"),
        "alarm_paint": _("Paint {place} of {foils} from the {bowl} bowl"),
        "alarm_check": _("Look at {foils}"),
        "alarm_unknown": _("No tap says when {foils} went in: look now"),
        "alarm_gloss": _("Rinse now: {place}, past its window"),
        "alarm_gloss_look": _("Look at {place}"),
    }


def _ask_words() -> dict[str, str]:
    return {
        "stage_of": _("Foil {foil}: which stage?"),
        "aim": _("aim"),
        "miss_rinse": _("Rinse {place} now."),
        "miss_then": _("About {away} dE00 from the aim then; stop as soon as it is there."),
        "miss_untold": _("No steps are computed for that. Look at it dry, and judge it by eye."),
        "no_relight": _("Nothing is lightened again on this head today."),
        "changed_kept": _("Kept. The plan is made anew when the server is there again."),
        "planning": _("The plan is made anew ..."),
        "anew_failed": _("Kept, but the plan could not be made anew: {what}"),
        "finish_at": _("It ends about {time} ({low} to {high}), booked until {booked}."),
        "leave_out": _("Leave out foils {foils}"),
        "left_out": _("They are left out."),
        "felt_kept": _("Kept at {time}: {what}."),
        "burning": _("burning"),
        "pain": _("pain"),
        "heat": _("heat"),
        "itch": _("itch"),
        "rinsed_at": _("rinsed {time}"),
        "not_rinsed": _("not rinsed since"),
    }


def _kept_words() -> dict[str, str]:
    return {
        "sent": _("All is in the record"),
        "waits": _("{count} kept here, sent when the server is there"),
        "refused": _("The server does not take {count}; they are kept here"),
        "no_store": _(
            "This browser keeps nothing on the device: a private window, or no room. "
            "Do not run a visit here."
        ),
        "no_plan": _(
            "The plan is not on this device yet. Open this page once with the server there."
        ),
        "clock_off": _(
            "This device's clock is {minutes} min off the record's. Clocks here follow "
            "this device; set it right before you begin."
        ),
        "sound_on": _("Sound is on"),
        "sound_off": _("Sound is off"),
        "awake": _("The screen stays on while foils are in."),
        "may_sleep": _(
            "This device may put its screen out. A sleeping phone cannot ring: look "
            "often, or keep its screen on."
        ),
        "mixed": _("Mixed"),
        "mixed_at": _("mixed {time}"),
        "flagged": _(
            "{count} taps cannot be understood or contradict each other; all are kept, and shown "
            "after the visit."
        ),
    }
