import numpy as np
import pytest

from strandline.base.errors import OutOfRangeError, ReadError
from strandline.science.colour.measured import columns_of, spectrum_of

NM = list(range(400, 701, 10))


def table(rows, header="nm,one"):
    return "\n".join(["# invented", header, *(f"{nm},{value}" for nm, value in rows)])


def read(rows):
    return spectrum_of(columns_of(table(rows), "file.csv"), "one", "file.csv")


def test_a_spectrum_is_put_on_the_grid_its_ends_held():
    spectrum = read([(nm, nm / 1000) for nm in NM])
    assert spectrum.shape == (81,)
    np.testing.assert_allclose(spectrum[[0, 4, 5, 64, 80]], [0.4, 0.4, 0.405, 0.7, 0.7])


def test_semicolons_and_comments_are_read():
    text = "# by hand\nnm;one;two\n" + "\n".join(f"{nm};0.1;0.2" for nm in NM)
    np.testing.assert_allclose(spectrum_of(columns_of(text), "two"), 0.2)


@pytest.mark.parametrize(
    "rows, said",
    [
        ([(nm, -0.01 if nm == 450 else 0.2) for nm in NM], "is -0.01 at 450 nm; it must be 0-1"),
        ([(nm, 1.2 if nm == 600 else 0.2) for nm in NM], "is 1.2 at 600 nm; it must be 0-1"),
        ([(nm, 20 + nm / 50) for nm in NM], "looks like percent"),
        ([(nm, 0.2) for nm in reversed(NM)], "do not rise: 700 nm is followed by 690 nm"),
        ([(nm, 0.2) for nm in [*NM, 700]], "do not rise: 700 nm is followed by 700 nm"),
        ([(nm, 0.2) for nm in NM if nm < 650], "runs 400-640 nm; it must cover 400-700 nm"),
        ([(nm, 0.2) for nm in NM if not 500 < nm < 560], "between 500 and 560 nm"),
        ([(nm / 1000, 0.2) for nm in NM], "must be in nanometres"),
    ],
)
def test_what_is_no_reflectance_of_the_visible_is_refused(rows, said):
    with pytest.raises(OutOfRangeError) as slip:
        read(rows)
    assert said in str(slip.value)
    assert slip.value.where == "file.csv"
    assert slip.value.do


@pytest.mark.parametrize(
    "text, said",
    [
        ("", "holds no table"),
        ("nm,one\n400,.2,.3", "has 3 cells"),
        ("nm,one,one\n400,.2,.3", "share a name"),
        (table([(nm, "" if nm == 500 else 0.2) for nm in NM]), "Row 11 of 'one' is empty"),
        (table([(nm, "inf" if nm == 500 else 0.2) for nm in NM]), "is 'inf', not a number"),
        (table([(nm, "0,2" if nm == 500 else 0.2) for nm in NM]), "has 3 cells"),
        (table([(nm, 0.2) for nm in NM], "nm,two"), "has no column 'one'"),
    ],
)
def test_what_is_no_table_of_numbers_is_refused(text, said):
    with pytest.raises(ReadError, match=said):
        spectrum_of(columns_of(text), "one")
