from collector.link.window import MOST, OVERDUE_S, Parcel, Window


def parcel(first: int, last: int | None = None) -> Parcel:
    return Parcel(tuple(range(first, (last or first) + 1)), f"{first}".encode())


def window(*parcels: Parcel) -> Window:
    made = Window("spool")
    for one in parcels:
        made.add(one)
    return made


def send_all(made: Window, now_s: float) -> list[bytes]:
    """Send what is due, and return its correlations."""
    names = [name for name, _ in made.due(now_s)]
    for name in names:
        made.sent(name, now_s)
    return names


def test_what_is_new_is_due_at_once_in_order_and_only_once() -> None:
    made = window(parcel(1, 3), parcel(4))
    assert made.due(0.0) == [(b"spool:1-3", parcel(1, 3)), (b"spool:4-4", parcel(4))]
    send_all(made, 0.0)
    assert made.due(OVERDUE_S - 0.1) == []


def test_what_is_confirmed_is_over_and_gives_its_numbers() -> None:
    made = window(parcel(1, 3), parcel(4))
    first, second = send_all(made, 0.0)
    assert made.confirmed(first) == (1, 2, 3)
    assert made.confirmed(first) == ()
    assert [name for name, _ in made.due(OVERDUE_S)] == [second]


def test_a_confirmation_of_another_spool_means_nothing() -> None:
    made = window(parcel(1))
    assert made.confirmed(b"other:1-1") == ()
    assert made.due(0.0)


def test_no_more_are_under_way_than_the_window_holds() -> None:
    made = window(*(parcel(n) for n in range(1, MOST + 3)))
    assert not made.has_room
    names = send_all(made, 0.0)
    assert len(names) == MOST
    made.confirmed(names[0])
    assert [one.numbers for _, one in made.due(1.0)] == [(MOST + 1,)]


def test_what_is_not_confirmed_in_time_is_due_again() -> None:
    made = window(parcel(1), parcel(2))
    (name, _), _ = made.due(0.0)
    made.sent(name, 0.0)
    assert [one.numbers for _, one in made.due(1.0)] == [(2,)]
    assert [one.numbers for _, one in made.due(OVERDUE_S)] == [(1,), (2,)]


def test_after_an_interruption_everything_is_due_again_in_order() -> None:
    made = window(parcel(1), parcel(2), parcel(3))
    names = send_all(made, 0.0)
    made.confirmed(names[1])
    made.reopen()
    assert [one.numbers for _, one in made.due(0.1)] == [(1,), (3,)]


def test_a_parcel_confirmed_while_it_was_being_sent_stays_confirmed() -> None:
    made = window(parcel(1))
    ((name, _),) = made.due(0.0)
    made.confirmed(name)
    made.sent(name, 0.0)
    assert made.due(OVERDUE_S + 1) == []
    assert made.has_room


def test_what_was_not_sent_can_be_withdrawn_and_is_added_again() -> None:
    made = window(*(parcel(n) for n in range(1, MOST + 3)))
    names = send_all(made, 0.0)
    assert made.withdraw() == MOST + 1
    assert made.withdraw() is None
    assert made.confirmed(names[0]) == (1,), "what was sent is still under way"
    made.reopen()
    assert made.withdraw() == 2
    assert made.due(0.0) == []
    made.add(parcel(2, 5))
    assert [one.numbers for _, one in made.due(0.0)] == [(2, 3, 4, 5)]


def test_how_long_the_hub_confirms_nothing_counts_from_the_first_sending() -> None:
    made = window(parcel(1), parcel(2))
    assert not made.is_empty
    assert made.unconfirmed_s(50.0) == 0.0, "nothing was sent yet"
    first, second = send_all(made, 0.0)
    send_all(made, OVERDUE_S)  # again
    assert made.unconfirmed_s(35.0) == 35.0
    made.reopen()
    assert made.unconfirmed_s(35.0) == 0.0, "the hub came back just now"
    made.confirmed(first)
    made.confirmed(second)
    assert made.is_empty
