"""What the answers, the tests and the hair's past allow today.

Findings are hers to weigh; a stop or a legal limit is not overridden here.
"""

from __future__ import annotations

import calendar
import datetime as dt
from functools import cache

from strandline.base.sources import COMMON_PRACTICE, Number, numbers, toml_beside
from strandline.service.care.finding import Finding
from strandline.service.consultation.bands import whole_bands
from strandline.service.consultation.model import Consultation, Health
from strandline.service.practice.bench import Bench


@cache
def limits() -> dict[str, Number]:
    """Load the limits of `care.toml`."""
    return numbers(toml_beside(__package__, "care.toml")["numbers"], "care.toml")


def judge(consultation: Consultation, bench: Bench, day: dt.date) -> list[Finding]:
    """Find what stops, waits or holds back on a day.

    Parameters
    ----------
    consultation : its health answers, tests, hair and past
    bench : her limits for repeated lightening
    day : the day of the visit

    Returns
    -------
    list of Finding   heaviest first, in the order of asking
    """
    found = [
        *_past(consultation),
        *_answers(consultation.health),
        *_alert_test(consultation, day),
        *_age(consultation),
        *_strength(consultation, bench),
    ]
    order = ("stop", "wait", "hold", "caution", "note")
    return sorted(found, key=lambda finding: order.index(finding.weight))


def unknown_past(consultation: Consultation) -> bool:
    """Say whether an unknown powder, henna or metal may be in the hair."""
    pasts = {band.past for band in whole_bands(consultation)}
    return bool(pasts & {"unknown", "henna"}) or (
        consultation.health.metallic_or_herbal_colour == "yes"
    )


def _past(c: Consultation) -> list[Finding]:
    if not unknown_past(c):
        return []
    test, minutes = c.health.strand_test, limits()["strand_test_min"].value
    if test is None:
        return [
            Finding(
                "stop",
                "An unknown or herbal colour is in the hair; salts of metal in it can heat "
                "and break hair under peroxide.",
                f"Mix nothing for the head. Try a cut strand in the actual mix for {minutes:.0f} "
                "min: heat, fizz or an odd colour stays a stop.",
                "metal_test",
                about="bands",
            )
        ]
    if test.result != "clean":
        return [
            Finding(
                "stop",
                f"The strand in the actual mix showed {test.result}.",
                "No peroxide on this head; the marked hair grows out or is cut.",
                "metal_test",
                about="health.strand_test",
            )
        ]
    promise = limits()["build_up_promise"].value
    return [
        Finding(
            "wait",
            "The strand came out clean, but what is in the hair is still not known.",
            f"Plan it as a dark build-up and promise at most stage {promise:.0f} at the first "
            "visit; go on only by your own judgement, strand by strand.",
            COMMON_PRACTICE,
            about="health.strand_test",
        )
    ]


def _answers(health: Health) -> list[Finding]:
    out: list[Finding] = []
    asked = {
        "allergies": health.allergies,
        "past_reaction": health.past_reaction,
        "black_henna_tattoo": health.black_henna_tattoo,
        "scalp": health.scalp,
        "metallic_or_herbal_colour": health.metallic_or_herbal_colour,
        "pregnancy": health.pregnancy,
    }
    unanswered = [name.replace("_", " ") for name, answer in asked.items() if answer == "unknown"]
    if unanswered:
        out.append(
            Finding(
                "wait",
                f"Not answered yet: {', '.join(unanswered)}.",
                "Let the client answer each before the visit; nothing is assumed.",
                "eu_label",
                about="health",
            )
        )
    if health.scalp in ("irritated", "broken"):
        out.append(
            Finding(
                "stop",
                f"The scalp is {health.scalp}.",
                "No colour and no lightener until it has healed; a doctor where it does not.",
                "eu_label",
                about="health.scalp",
            )
        )
    if health.past_reaction == "yes":
        out.append(
            Finding(
                "stop",
                "The client has reacted to hair colour before.",
                "Do not colour. A doctor's allergy test comes first; an alert test at the chair "
                "does not replace it.",
                "eu_label",
                about="health.past_reaction",
            )
        )
    if health.allergies == "yes":
        out.append(
            Finding(
                "wait",
                "The client has allergies.",
                "Read them against the label's list of what is in the products, with her doctor "
                "where it is not plain.",
                "eu_label",
                about="health.allergies",
            )
        )
    if health.black_henna_tattoo == "yes":
        out.append(
            Finding(
                "wait",
                "A black henna tattoo raises the risk of an allergy to hair colour.",
                "Ask for any reaction to it; if there was one, do not colour.",
                "eu_label",
                about="health.black_henna_tattoo",
            )
        )
    if health.pregnancy == "yes":
        out.append(
            Finding(
                "note",
                "The client is pregnant.",
                "Inform; the choice is hers with her doctor. This plan neither clears nor forbids.",
                COMMON_PRACTICE,
                about="health.pregnancy",
            )
        )
    return out


def _alert_test(c: Consultation, day: dt.date) -> list[Finding]:
    test, bound = c.health.alert_test, limits()
    hours, months = bound["alert_test_hours"].value, int(bound["alert_test_months"].value)

    def wait(what: str) -> list[Finding]:
        do = (
            f"Put on an alert test at least {hours:.0f} h before; "
            "a clear test lowers the risk, it is never proof."
        )
        return [Finding("wait", what, do, "alert_test", about="health.alert_test")]

    if test is None:
        return wait("There is no allergy alert test.")
    if test.result == "reaction":
        return [
            Finding(
                "stop",
                "The alert test showed a reaction.",
                "Do not colour; a doctor comes first.",
                "alert_test",
                about="health.alert_test",
            )
        ]
    if test.result == "unknown":
        return wait("The alert test has not been read yet.")
    if test.line and test.line != c.shelf.line:
        return wait(f"The alert test was of '{test.line}'; the shelf holds '{c.shelf.line}'.")
    start = test.date.replace(tzinfo=None)
    if dt.datetime.combine(day, VISIT_OPENS) - start < dt.timedelta(hours=hours):
        return wait(f"The alert test of {start:%Y-%m-%d %H:%M} is less than {hours:.0f} h old.")
    if day > months_later(start.date(), months):
        return wait(f"The alert test of {start:%Y-%m-%d} is more than {months} months old.")
    return []


VISIT_OPENS = dt.time(12, 0)
"""A visit without an hour is taken to begin at noon."""


def months_later(day: dt.date, months: int) -> dt.date:
    """Give the same day some months on, or the last of that month where it is shorter."""
    month = day.month - 1 + months
    year, month = day.year + month // 12, month % 12 + 1
    return dt.date(year, month, min(day.day, calendar.monthrange(year, month)[1]))


def _age(c: Consultation) -> list[Finding]:
    least = limits()["age_min"].value
    if c.client.age is None:
        what = f"The client's age is not given; these products are not for under {least:.0f}."
        return [Finding("caution", what, "Ask before mixing.", "eu_label", about="client.age")]
    if c.client.age < least:
        return [
            Finding(
                "stop",
                f"The client is {c.client.age}; oxidative colour is not for under {least:.0f}.",
                "No colour and no lightener.",
                "eu_label",
                about="client.age",
            )
        ]
    return []


def _strength(c: Consultation, bench: Bench) -> list[Finding]:
    def hold(what: str, about: str) -> Finding:
        do = (
            "No lightener today, whatever is paid: gloss, care, a trim, "
            "and the stretch test again at the next visit."
        )
        return Finding("hold", what, do, COMMON_PRACTICE, about=about)

    out: list[Finding] = []
    condition, stretch = c.hair.condition, c.health.stretch_test
    if condition in ("stretchy", "breaking"):
        out.append(
            hold(
                f"Mids or ends are {condition}: the hair is near the end of its strength.",
                "hair.condition",
            )
        )
    if stretch and stretch.result != "holds":
        word = "stretched and stayed" if stretch.result == "stretches" else "broke"
        out.append(hold(f"The wet strand {word} in the stretch test.", "health.stretch_test"))
    times = max((b.times for b in whole_bands(c) if b.past == "lightened"), default=0)
    limit = bench["lightened_times_limit"]
    if times >= limit and c.hair.strand == "fine":
        out.append(hold(f"Fine hair has been lightened {times} times already.", "bands"))
    if condition in ("stretchy", "breaking"):
        out.append(
            Finding(
                "note",
                f"The ends are {condition}.",
                "Trim 3-5 cm; 8 weeks of care before the stretch test is done again.",
                COMMON_PRACTICE,
                "return",
                "hair.condition",
            )
        )
    if c.hair.bonds:
        near = bench["bond_clear_cm"]
        out.append(
            Finding(
                "caution",
                f"{c.hair.bonds} bonds are worn.",
                f"Nothing within {near:g} cm of a bond: no colour, no heat, no oil.",
                COMMON_PRACTICE,
                "gloss",
                "hair.bonds",
            )
        )
    return out
