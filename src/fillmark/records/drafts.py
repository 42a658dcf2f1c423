"""Plans that are being made: kept after each answer, changed by several people, and gone once they hold."""

import json
from dataclasses import dataclass
from datetime import datetime
from uuid import UUID

from fillmark.core.plan.draft import Draft, read_draft
from fillmark.core.plan.from_sheet import write_sheet
from fillmark.core.values.errors import BadPlan, FillmarkError
from fillmark.records import models
from fillmark.records.homes import not_here


@dataclass(frozen=True, kw_only=True, slots=True)
class StoredDraft:
    """A draft with who worked on it last.

    Attributes:
        animal_id: For which animal; none for a new one.
        base_number: The number of the version it began from, 0 for none.
        draft: What is known.
        is_readable: Whether the row has the shape of a draft; where it has not, nothing is known.
    """

    id: UUID
    household_id: UUID
    animal_id: UUID | None
    base_number: int
    draft: Draft
    is_readable: bool
    changed_by_name: str
    changed_at: datetime


def _stored(row: models.PlanDraft) -> StoredDraft:
    draft, is_readable = _read(row)
    return StoredDraft(
        id=row.pk,
        household_id=row.household_id,
        animal_id=row.animal_id,
        base_number=row.base_number,
        draft=draft,
        is_readable=is_readable,
        changed_by_name=row.changed_by.name,
        changed_at=row.changed_at,
    )


def _read(row: models.PlanDraft) -> tuple[Draft, bool]:
    try:
        progress = json.loads(row.progress)
        known = {key: progress.get(key) for key in ("answered", "later", "sheet")}
        draft = read_draft(json.loads(row.document), **known)
    except (ValueError, TypeError, KeyError, RecursionError, FillmarkError):
        return Draft(document={}), False
    return draft, True


def _columns(draft: Draft) -> dict[str, str]:
    progress: dict[str, object] = {"answered": sorted(draft.answered), "later": sorted(draft.later)}
    if draft.sheet is not None:
        progress["sheet"] = write_sheet(draft.sheet)
    return {"document": json.dumps(draft.document, ensure_ascii=False), "progress": json.dumps(progress)}


def add_draft(
    *, household_id: UUID, animal_id: UUID | None, base_number: int, draft: Draft, by: UUID, now: datetime
) -> UUID:
    """Keep one more draft."""
    row = models.PlanDraft.objects.create(
        household_id=household_id,
        animal_id=animal_id,
        base_number=base_number,
        changed_by_id=by,
        changed_at=now,
        **_columns(draft),
    )
    return row.pk


def find_draft(*, household_id: UUID, draft_id: UUID, lock: bool = False) -> StoredDraft:
    """A draft of this household; with `lock`, nobody else changes it until this transaction ends.

    Raises:
        NotAllowed: there is none.
        BadPlan: its row cannot be read.
    """
    rows = models.PlanDraft.objects.filter(pk=draft_id, household_id=household_id)
    if lock:
        rows.select_for_update().first()
    row = rows.select_related("changed_by").first()
    if row is None:
        raise not_here("draft of a plan", draft_id)
    stored = _stored(row)
    if not stored.is_readable:
        raise BadPlan(
            field="draft",
            got="A draft that cannot be read",
            allowed="a draft as its pages keep it",
            remedy="Throw it away where the drafts are listed; the plan in force is not touched by it.",
        )
    return stored


def drafts_of(*, household_id: UUID) -> tuple[StoredDraft, ...]:
    """Every draft of a household, the one changed last first."""
    rows = models.PlanDraft.objects.filter(household_id=household_id).select_related("changed_by")
    return tuple(_stored(row) for row in rows.order_by("-changed_at"))


def keep_draft(*, draft_id: UUID, draft: Draft, by: UUID, now: datetime) -> None:
    """A draft as it is now."""
    models.PlanDraft.objects.filter(pk=draft_id).update(changed_by_id=by, changed_at=now, **_columns(draft))


def drop_draft(*, household_id: UUID, draft_id: UUID) -> None:
    """Throw a draft away."""
    models.PlanDraft.objects.filter(pk=draft_id, household_id=household_id).delete()
