"""What holds of every message that kitmaker can say, as the source has them."""

from __future__ import annotations

import pytest
from list_messages import Listing


@pytest.fixture(scope="module")
def listing() -> Listing:
    return Listing()


def test_every_message_has_words_that_can_be_found(listing: Listing) -> None:
    assert listing.unread == []


def test_each_end_of_a_command_has_its_messages(listing: Listing) -> None:
    kinds = {message.kind for message in listing.messages}
    assert {"error", "warning", "exit 1", "exit 2", "exit 3", "exit 4", "exit 70"} <= kinds


@pytest.mark.parametrize(
    ("room", "begins", "todo", "kind"),
    [
        # Straight from a maker; by a function with a remedy of its own; by a method.
        ("reading.workbook", "'…' is empty. Save it again with its contents.", "", "exit 3"),
        ("reading.finishing_control", "the … of '…' is cut", "What the table states", "warning"),
        ("reading.finishing_parts", "the size of the quilt", "Type Quilt width", "error"),
        ("arithmetic.figures", "a … has two measures", "Type its width", "error"),
        ("lengths", "'…' could be …", "Type …", "error"),
    ],
)
def test_known_messages_are_found(
    listing: Listing, room: str, begins: str, todo: str, kind: str
) -> None:
    assert any(
        one.room == room
        and one.said.startswith(begins)
        and one.todo.startswith(todo)
        and one.kind == kind
        for one in listing.messages
    )


def test_nothing_that_is_said_ends_in_a_traceback_or_names_python(listing: Listing) -> None:
    for message in listing.messages:
        words = f"{message.said} {message.todo}".casefold()
        assert not any(word in words for word in ("traceback", "exception", "none type", "null"))
