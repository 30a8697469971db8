"""Ends of pipes and signatures as people write them."""

from datetime import date

import pytest

from abreast.model import End, Signature


@pytest.mark.parametrize(
    ("text", "thread", "gender"),
    [
        ("SF pin", "SF", "pin"),
        ("2-7/8 EU  BOX", "2-7/8 EU", "box"),
        ("plain", "", "plain"),
        ("flange", "", "flange"),
    ],
)
def test_ends(text, thread, gender):
    end = End.parse(text)
    assert (end.thread, end.gender) == (thread, gender)
    assert End.parse(str(end)) == end


@pytest.mark.parametrize("text", ["SF", "pin", "", "SFpin", "SF pin box x"])
def test_what_is_no_end(text):
    with pytest.raises(ValueError, match="write thread code and pin or box"):
        End.parse(text)


def test_only_pin_and_box_of_one_thread_mate():
    pin, box = End("SF", "pin"), End("SF", "box")
    assert pin.mates(box)
    assert box.mates(pin)
    assert not pin.mates(pin)
    assert not pin.mates(End("EU", "box"))
    assert not End("", "plain").mates(End("", "plain"))


def test_signatures():
    signed = Signature.parse("Pell, A., 2024-05-01")
    assert signed == Signature("Pell, A.", date(2024, 5, 1))
    assert Signature.parse(str(signed)) == signed


@pytest.mark.parametrize("text", ["A. Pell", "A. Pell, 01.05.2024", ", 2024-05-01", ""])
def test_what_is_no_signature(text):
    with pytest.raises(ValueError, match="write name and day"):
        Signature.parse(text)
