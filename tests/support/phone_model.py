"""A phone as docs/reference/off-line.md has it, without a browser: a queue, a kept record, and a line that fails."""

import json
from dataclasses import dataclass, field
from enum import StrEnum
from typing import Any
from uuid import UUID

from django.core.files.uploadedfile import SimpleUploadedFile
from django.test import Client

from fillmark.core.record.entries import Entry, write_payload


class Line(StrEnum):
    """What becomes of one request."""

    ARRIVES = "request and answer arrive"
    LOST_ON_THE_WAY = "the request is lost"
    ANSWER_LOST = "the request arrives, its answer is lost"


def as_document(entry: Entry) -> dict[str, Any]:
    """An entry as it travels."""
    document = {
        "id": str(entry.id),
        "animal_id": str(entry.animal_id),
        "at": entry.at.isoformat(),
        "zone": entry.zone,
        "device": entry.device,
        "payload": json.loads(write_payload(entry)),
    }
    return {**document, "corrects": str(entry.corrects)} if entry.corrects else document


@dataclass
class PhoneModel:
    """One person's phone.

    Attributes:
        client: The line to the server, signed in.
        name: The device's own name.
        queue: What waits, by id, in the order it was pressed.
        asked: What the server answered with a question, by id.
        kept: The record as this phone has it, by id.
        photos: The animal and the picture of each entry whose picture waits, by its id.
        seq: The number up to which it has heard.
    """

    client: Client
    name: str
    queue: dict[str, dict[str, Any]] = field(default_factory=dict)
    asked: dict[str, str] = field(default_factory=dict)
    kept: dict[str, dict[str, Any]] = field(default_factory=dict)
    photos: dict[str, tuple[UUID, bytes]] = field(default_factory=dict)
    seq: int = 0

    def press(self, entry: Entry) -> None:
        """Keep an entry on this phone."""
        self.queue[str(entry.id)] = as_document(entry)

    def flush(self, line: Line, *, fresh: set[str] | None = None) -> None:
        """Send what waits, and drop what is acknowledged."""
        waiting = [document for entry_id, document in self.queue.items() if entry_id not in self.asked]
        if not waiting or line is Line.LOST_ON_THE_WAY:
            return
        body = {"entries": waiting, "fresh": sorted(fresh or set())}
        answer = self.client.post("/entries", json.dumps(body), "application/json")
        assert answer.status_code == 200, answer.content
        if line is Line.ANSWER_LOST:
            return
        for one in answer.json()["entries"]:
            if one["ok"]:
                del self.queue[one["id"]]
            else:
                self.asked[one["id"]] = one["code"]

    def take_photo(self, entry: Entry, picture: bytes) -> None:
        """Keep an entry and its picture on this phone."""
        self.press(entry)
        self.photos[str(entry.id)] = (entry.animal_id, picture)

    def send_photos(self, line: Line) -> None:
        """Send each picture whose entry is acknowledged, and drop what is taken in."""
        for entry_id, (animal_id, picture) in list(self.photos.items()):
            if entry_id in self.queue or line is Line.LOST_ON_THE_WAY:
                continue
            file = SimpleUploadedFile("photo.jpg", picture, content_type="image/jpeg")
            answer = self.client.post(f"/{animal_id}/photo/{entry_id}/", {"photo": file})
            assert answer.status_code == 200, answer.content
            if line is not Line.ANSWER_LOST:
                del self.photos[entry_id]

    def pull(self) -> None:
        """Ask what is new, until nothing is."""
        while True:
            answer = self.client.get(f"/entries?since={self.seq}").json()
            if answer["whole"]:
                self.kept.clear()
            self.kept.update((one["id"], one) for one in answer["entries"])
            self.seq = answer["seq"]
            if not answer["more"]:
                return

    def write_after_all(self, entry_id: UUID | str) -> None:
        """The person says that it happened all the same: it is sent as a fact."""
        del self.asked[str(entry_id)]
