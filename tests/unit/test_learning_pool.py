"""Partial pooling against one large least-squares problem; what is kept is read again."""

from __future__ import annotations

import json
import time
from dataclasses import replace

import numpy as np
import pytest

from strandline.base.errors import OutOfRangeError, ReadError
from strandline.science.chemistry.lift import constants as of_lift
from strandline.service.learning import starting
from strandline.service.learning.belief import eta_of, prior
from strandline.service.learning.kept import Record, record_from, record_json
from strandline.service.learning.observation import Observation
from strandline.service.learning.pace import Placed, pace_of, pace_prior
from strandline.service.learning.pool import VisitTaught, pool
from strandline.service.learning.starting import NAMES, SHARED, prior_mean, row_of, spreads

SD = dict(zip(NAMES, spreads(), strict=True))


def rows(rng, count):
    return [
        row_of(
            old_colour=bool(rng.integers(2)),
            first_cm=bool(rng.integers(2)),
            stacked=bool(rng.integers(2)),
            developer_vol=float(rng.choice([12.5, 20.0, 30.0])),
        )
        for _ in range(count)
    ]


def invented(rng, visits=30, products=3, clients=12, checks=5):
    """Visits drawn from the model itself, and the truth they were drawn from."""
    truth = {name: SD[name] * rng.standard_normal() for name in SHARED}
    truth["wet_bias"] += 1.0
    of_product = SD["product"] * rng.standard_normal(products)
    of_client = SD["client"] * rng.standard_normal(clients)
    out = []
    for _ in range(visits):
        p, c = int(rng.integers(products)), int(rng.integers(clients))
        day = SD["day"] * rng.standard_normal()
        theta = np.array([of_product[p], of_client[c], day, *(truth[name] for name in SHARED)])
        told = []
        for foil, row in enumerate(rows(rng, checks)):
            slope = float(rng.uniform(0.0, 0.4))
            mean = starting.middle_of(row[None, :])[0] + row @ theta
            error = 0.33 * rng.standard_normal() + 0.1 * rng.standard_normal()
            y = mean - slope * (truth["wet_bias"] - 1.0) + error
            told.append(Observation(foil, 15.0, float(y), slope, 0.33, row, 1.0))
        out.append(VisitTaught(f"powder {p}", f"client {c:02d}", told))
    return out, truth, of_product, of_client


@pytest.fixture
def gaussian(monkeypatch):
    known = starting.constants()
    monkeypatch.setitem(known, "student_nu", replace(known["student_nu"], value=1e15))


def test_pool_is_the_least_squares_of_all_readings_with_days_spelt_out(gaussian):
    visits = invented(np.random.default_rng(3))[0]
    pooled = pool(visits)
    names = [*SHARED, *pooled.products, *pooled.clients, *range(len(visits))]
    lead = [*SHARED] + ["product"] * len(pooled.products) + ["client"] * len(pooled.clients)
    sd = np.array([SD[name] for name in lead] + [SD["day"]] * len(visits))
    start = np.zeros(len(names))
    start[SHARED.index("wet_bias")] = 1.0
    design, aim = [np.diag(1.0 / sd)], [start / sd]
    for index, visit in enumerate(visits):
        for one in visit.observations:
            whole = np.zeros(len(names))
            for name in SHARED:
                whole[SHARED.index(name)] = one.full_row[NAMES.index(name)]
            for name in (visit.product, visit.client, index):
                whole[names.index(name)] = 1.0
            noise = np.sqrt(one.sd**2 + of_lift()["foil"].spread ** 2)
            design.append(whole[None, :] / noise)
            aim.append(np.array([one.reading / noise]))
    a, b = np.vstack(design), np.concatenate(aim)
    wanted = np.linalg.lstsq(a, b, rcond=None)[0]
    cov = np.linalg.inv(a.T @ a)
    common = len(pooled.common_mean)
    assert pooled.common_mean == pytest.approx(wanted[:common], abs=1e-9)
    assert pooled.client_mean == pytest.approx(
        wanted[common : common + len(pooled.clients)], abs=1e-9
    )
    assert pooled.common_cov == pytest.approx(cov[:common, :common], abs=1e-9)
    assert pooled.client_cov == pytest.approx(
        cov[common : common + len(pooled.clients), :common], abs=1e-9
    )
    assert pooled.client_var == pytest.approx(
        np.diag(cov)[common : common + len(pooled.clients)], abs=1e-9
    )


def test_pool_finds_what_it_was_drawn_from():
    visits, truth, of_product, of_client = invented(np.random.default_rng(11), visits=200)
    pooled = pool(visits)
    off = [(pooled.shared(name).mean - truth[name]) / pooled.shared(name).sd for name in SHARED]
    for index, value in enumerate(of_product):
        learnt = pooled.product(f"powder {index}")
        off.append((learnt.mean - value) / learnt.sd)
    for index, value in enumerate(of_client):
        learnt = pooled.client(f"client {index:02d}")
        off.append((learnt.mean - value) / learnt.sd)
    assert np.abs(off).max() < 3.5
    assert np.mean(np.abs(off)) < 1.3


def test_order_of_visits_does_not_matter():
    visits = invented(np.random.default_rng(5))[0]
    one, other = pool(visits), pool(visits[::-1])
    assert one.common_mean == pytest.approx(other.common_mean, abs=1e-12)
    assert one.client_cov == pytest.approx(other.client_cov, abs=1e-12)


def test_more_visits_lean_more_on_their_own():
    visits = invented(np.random.default_rng(5), visits=40, clients=40)[0]
    same = [replace(visit, product="powder A", client=f"c{i}") for i, visit in enumerate(visits)]
    leans = [pool(same[:count]).product("powder A").leans for count in (1, 3, 10, 40)]
    assert leans == sorted(leans)
    assert 0 < leans[0] < 0.9 < leans[-1] < 1


def test_sentence_says_how_many_visits_and_how_much_is_their_own():
    visits = invented(np.random.default_rng(5), visits=3)[0]
    pooled = pool([replace(visit, product="powder A") for visit in visits])
    learnt = pooled.product("powder A")
    assert learnt.sentence == f"Three visits: {100 * learnt.leans:.0f} % its own."
    assert learnt.visits == 3
    one = pool([visits[0]]).client(visits[0].client)
    assert one.sentence.startswith("One visit: ")
    assert replace(learnt, visits=40).sentence.startswith("40 visits: ")


def test_product_without_a_visit_stands_on_its_prior_and_says_so():
    pooled = pool(invented(np.random.default_rng(5))[0])
    for learnt, name in (
        (pooled.product("powder Z"), "product"),
        (pooled.client("nobody"), "client"),
    ):
        assert (learnt.mean, learnt.sd, learnt.leans) == (0.0, SD[name], 0.0)
        assert learnt.sentence == "No visit yet: it stands on its prior alone."


def test_nothing_pooled_is_the_prior():
    pooled = pool([])
    for belief in (prior(pooled, product="powder A", client="Ada"), prior()):
        assert np.array_equal(belief.mean, prior_mean())
        assert np.array_equal(belief.cov, np.diag(np.asarray(spreads()) ** 2))


def test_belief_of_a_known_head_is_surer_of_the_sum_than_of_its_parts():
    visits = invented(np.random.default_rng(5), visits=1)[0]
    pooled = pool(visits)
    belief = prior(pooled, product=visits[0].product, client=visits[0].client)
    at = [NAMES.index("product"), NAMES.index("client")]
    assert belief.cov[at[0], at[1]] < 0
    assert belief.of("day") == (0.0, SD["day"])
    row = row_of(old_colour=False, first_cm=False, stacked=False, developer_vol=20.0)[None, :]
    stranger = prior(pooled, product=visits[0].product, client="nobody")
    sds = [eta_of(one, row)[1][0] for one in (belief, stranger, prior())]
    assert sds == sorted(sds)


def test_one_sided_reading_that_is_kept_to_teaches_nothing():
    visits = invented(np.random.default_rng(5), visits=4)[0]
    one = visits[0].observations[0]
    low = replace(one, y=one.y - 6.0, slope=0.0, bound=1)
    more = [replace(visits[0], observations=[*visits[0].observations, low]), *visits[1:]]
    assert pool(more).common_mean == pytest.approx(pool(visits).common_mean, abs=1e-12)
    binds = replace(low, y=one.y + 3.0)
    more = [replace(visits[0], observations=[*visits[0].observations, binds]), *visits[1:]]
    name = visits[0].client
    assert pool(more).client(name).mean > pool(visits).client(name).mean


def test_one_wild_visit_hardly_moves_a_product():
    visits = [
        replace(visit, product="powder A")
        for visit in invented(np.random.default_rng(5), clients=30)[0]
    ]
    wild = replace(visits[0].observations[0], y=visits[0].observations[0].y + 8.0)
    more = [
        replace(visits[0], observations=[wild, *visits[0].observations[1:]]),
        *visits[1:],
    ]
    moved = pool(more).product("powder A").mean - pool(visits).product("powder A").mean
    assert abs(moved) < 0.1


def test_visit_without_a_name_is_told():
    for visit in (VisitTaught("", "Ada"), VisitTaught("powder A", "")):
        with pytest.raises(OutOfRangeError, match="name both"):
            pool([visit])


def test_pace_begins_at_practice_and_moves_to_her_own():
    mean, sd = pace_prior("slice")
    assert np.exp(mean) == pytest.approx(60.0)
    assert np.exp(4 * sd) == pytest.approx(90 / 50)
    visits = [[Placed("slice", 12, 12 * 48.0), Placed("slice", 10, 480.0)]] * 8
    pooled = pool([VisitTaught("powder A", "Ada", (), placed) for placed in visits])
    assert pooled.seconds("weave") == pytest.approx(90.0)
    assert 48.0 < pooled.seconds("slice") < 50.0
    assert pooled.pace["slice"].sentence.startswith("Eight visits: ")
    assert pooled.pace["weave"].leans == 0.0
    assert pooled.visits == 8


def test_pace_of_one_day_is_the_conjugate_normal_of_its_mean():
    mean, sd = pace_prior("weave")
    learnt = pace_of([[Placed("weave", 10, 1000.0), Placed("weave", 5, 400.0)]])["weave"]
    seen, variance = np.mean(np.log([100.0, 80.0])), 0.1**2 + 0.2**2 / 2
    share = sd**2 / (sd**2 + variance)
    assert learnt.mean == pytest.approx(mean + share * (seen - mean))
    assert learnt.leans == pytest.approx(share)


@pytest.mark.parametrize("wrong", [("plait", 3, 100.0), ("slice", 0, 100.0), ("slice", 3, 0.0)])
def test_what_is_no_pace_is_told(wrong):
    with pytest.raises(OutOfRangeError):
        Placed(*wrong)


def test_names_that_are_not_pooled_are_told():
    pooled = pool([])
    with pytest.raises(OutOfRangeError, match="pace"):
        pooled.seconds("plait")
    with pytest.raises(OutOfRangeError, match="share nothing"):
        pooled.shared("weather")


def kept(seed):
    visits = invented(np.random.default_rng(seed))[0]
    return Record({f"visit {i:03}": visit for i, visit in enumerate(visits)})


def test_what_visits_taught_is_read_again_as_it_was():
    record = kept(5)
    again = record_from(json.loads(json.dumps(record_json(record))))
    assert record_json(again) == record_json(record)
    one, other = (
        prior(r.pooled(), product="powder 1", client="client 03") for r in (record, again)
    )
    assert np.array_equal(one.mean, other.mean)
    assert np.array_equal(one.cov, other.cov)
    assert record_json(record_from(record_json(Record()))) == record_json(Record())


def test_a_visit_kept_twice_teaches_once():
    record = kept(5)
    name, visit = next(iter(record.visits.items()))
    assert record_json(record.with_visit(name, visit)) == record_json(record)


def changed(data, **change):
    return {**data, "visits": [{**data["visits"][0], **change}, *data["visits"][1:]]}


@pytest.mark.parametrize(
    ("change", "words"),
    [
        (lambda d: {**d, "schema": 2}, "schema 2"),
        (lambda d: {**d, "began": {}}, "starting numbers"),
        (lambda d: {**d, "visits": None}, "missing or of another kind"),
        (lambda d: {"schema": 1, "began": d["began"]}, "missing or of another kind"),
        (lambda d: changed(d, product=""), "without its product"),
        (lambda d: changed(d, checks=[{"foil": 1}]), "missing or of another kind"),
        (lambda d: changed(d, placed=[{"kind": "plait", "foils": 1, "seconds": 9}]), "no pace"),
        (lambda d: {**d, "visits": d["visits"][:1] * 2}, "twice"),
        (
            lambda d: changed(d, checks=[{**d["visits"][0]["checks"][0], "y": float("nan")}]),
            "no number",
        ),
        (
            lambda d: changed(d, checks=[{**d["visits"][0]["checks"][0], "bound": 2}]),
            "missing or of another kind",
        ),
    ],
)
def test_what_cannot_be_read_again_is_told_in_two_sentences(change, words):
    with pytest.raises(ReadError, match=words) as told:
        record_from(change(record_json(kept(5))))
    assert told.value.what.endswith(".")
    assert told.value.do.endswith("Pool the visits anew from their records.")


def test_what_is_no_table_at_all_is_told():
    with pytest.raises(ReadError, match="schema None"):
        record_from([])


def test_two_hundred_visits_are_quick():
    visits = invented(np.random.default_rng(1), visits=200, products=10, clients=150, checks=6)[0]

    def once():
        began = time.perf_counter()
        pool(visits)
        return time.perf_counter() - began

    assert min(once() for _ in range(5)) < 0.1
