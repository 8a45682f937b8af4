"""Places and their words."""

from workdays.rules.places import Places


def test_held_offered_and_reserved_places_are_taken() -> None:
    places = Places(20, coming=10, unconfirmed=1, offered=2, waiting=5, reserved=3)
    assert (places.taken, places.left) == (16, 4)


def test_places_left_never_fall_below_zero() -> None:
    assert Places(4, coming=6).left == 0


def test_the_words_say_one_some_none() -> None:
    assert Places(20, coming=14).words == "14 coming, 6 places left"
    assert Places(20, coming=19).left_words == "1 place left"
    assert Places(2, coming=2).words == "2 coming, full"
    assert Places(2).words == "nobody coming, 2 places left"
