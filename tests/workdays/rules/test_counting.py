from workdays.rules.counting import heads, measured


def test_one_is_said_as_one() -> None:
    assert [heads(n) for n in (0, 1, 2)] == ["0 people", "1 person", "2 people"]
    assert [heads(n, "new") for n in (1, 2)] == ["1 new person", "2 new people"]
    found = [measured(n, "hour") for n in (1, 1.0, 0.5, 2.5, 12)]
    assert found == ["1 hour", "1 hour", "0.5 hours", "2.5 hours", "12 hours"]
