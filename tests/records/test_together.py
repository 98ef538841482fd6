"""Many writers at once, of one visit and of one plan: nothing is lost, no writer waits for ever."""

from __future__ import annotations

from concurrent.futures import ThreadPoolExecutor

from strandline.base.facts.fact import Fact
from strandline.salon.records.append import append
from strandline.salon.records.backup import back_up
from strandline.salon.records.keep import add_client, write_consultation
from strandline.salon.records.look import document, visit_facts
from strandline.salon.records.restore import restore
from strandline.salon.records.scribe import Scribe
from strandline.salon.records.store import open_store
from strandline.salon.records.wall import StaleError

DEVICES, EACH = 4, 25


def tap(device, number):
    when = "2026-12-03T09:00:00Z"
    said = {"text": f"{device} {number}"}
    return Fact(f"{device}-{number}", "visit-1", "note", 1, said, "Ada", device, number, when, 60)


def test_devices_that_tap_at_once_lose_nothing(place):
    open_store(place).close()

    def work(device):
        with open_store(place) as own:
            for number in range(1, EACH + 1):
                taken = append(own, [tap(device, number)])
        return taken.up_to

    with ThreadPoolExecutor(DEVICES) as pool:
        marks = list(pool.map(work, [f"device-{one}" for one in range(DEVICES)]))
    assert marks == [{f"device-{one}": EACH} for one in range(DEVICES)]
    with open_store(place) as store:
        assert len(visit_facts(store, "visit-1")) == DEVICES * EACH


def test_one_fact_sent_by_two_at_once_is_kept_once(place):
    open_store(place).close()

    def work(_):
        with open_store(place) as own:
            return sum(append(own, [tap("tablet", number)]).new for number in range(1, EACH + 1))

    with ThreadPoolExecutor(2) as pool:
        assert sum(pool.map(work, range(2))) == EACH


def test_of_many_editors_at_once_one_is_first_and_all_others_are_told(place, scribe):
    with open_store(place) as store:
        client = add_client(store, scribe, "Noor Tamarsky")
        first = write_consultation(store, scribe, client, "as it was")

    def work(name):
        own = Scribe(name, f"device-{name}", scribe.clock)
        with open_store(place) as store:
            try:
                write_consultation(store, own, client, name, over=first)
            except StaleError as told:
                return told.what.partition(" has changed")[0]
        return None

    names = ["Ada", "Bea", "Cleo", "Dot"]
    with ThreadPoolExecutor(len(names)) as pool:
        told = list(pool.map(work, names))
    assert told.count(None) == 1
    came_first = names[told.index(None)]
    assert {one for one in told if one} == {came_first}
    with open_store(place) as store:
        assert document(store, first.stream).text == came_first


def test_two_that_open_an_empty_database_make_it_once(tmp_path, postgres):
    from strandline.salon.records.place import Place

    places = [
        Place(tmp_path, tmp_path / "record.db"),
        Place(tmp_path, None, postgres(empty=True)),
    ]
    for place in places:
        with ThreadPoolExecutor(3) as pool:
            list(pool.map(lambda where: open_store(where).close(), [place] * 3))
        with open_store(place) as store:
            append(store, [tap("tablet", 1)])


def test_a_backup_taken_while_others_write_is_of_one_moment(place, tmp_path):
    """Facts of one device are in it up to a number, without a gap."""
    with open_store(place) as store:
        append(store, [tap("tablet", 1)])

    def work():
        with open_store(place) as own:
            for number in range(2, 120):
                append(own, [tap("tablet", number)])

    with ThreadPoolExecutor(1) as pool:
        writing = pool.submit(work)
        with open_store(place) as store:
            taken = back_up(store, tmp_path / "b.zip")
        writing.result()
    new = type(place)(tmp_path / "new", tmp_path / "new" / "record.db")
    restore(new, taken.path)
    with open_store(new) as store:
        numbers = [one.device_seq for one in visit_facts(store, "visit-1")]
    assert numbers == list(range(1, taken.facts + 1))
