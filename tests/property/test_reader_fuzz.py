"""Whatever comes in, the reader gives a consultation or two clear sentences, nothing else."""

from __future__ import annotations

from pathlib import Path

from hypothesis import given, settings
from hypothesis import strategies as st

from strandline.base.errors import StrandlineError
from strandline.service.consultation.model import Consultation
from strandline.service.consultation.reader import from_document, read_consultation

NOOR = (Path(__file__).parents[2] / "examples" / "noor.toml").read_bytes()
PRACTICE = (Path(__file__).parents[2] / "examples" / "practice.toml").read_bytes()

leaves = st.none() | st.booleans() | st.integers() | st.floats() | st.text(max_size=20) | st.dates()
values = st.recursive(
    leaves,
    lambda inner: (
        st.lists(inner, max_size=4) | st.dictionaries(st.text(max_size=12), inner, max_size=4)
    ),
    max_leaves=12,
)
FIELDS = sorted(Consultation.model_fields)


def told_or_read(read) -> None:
    try:
        found = read()
    except StrandlineError as error:
        assert error.what
        assert error.do
    else:
        assert isinstance(found, Consultation)


@given(st.binary(max_size=400))
def test_any_bytes_are_read_or_told(raw):
    told_or_read(lambda: read_consultation(raw, "any.toml"))


@settings(deadline=None)
@given(st.integers(0, len(NOOR) - 1), st.binary(max_size=12), st.integers(0, 30))
def test_a_real_file_with_a_slip_is_read_or_told(at, more, gone):
    raw = NOOR[:at] + more + NOOR[at + gone :]
    told_or_read(lambda: read_consultation(raw, "noor.toml", beside=lambda _: PRACTICE))


@settings(deadline=None)
@given(st.dictionaries(st.sampled_from(FIELDS) | st.text(max_size=8), values, max_size=6))
def test_any_document_is_read_or_told(document):
    told_or_read(lambda: from_document(document, "any.toml"))
