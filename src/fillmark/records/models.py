"""The tables. Rows never leave this package: the modules beside it return frozen values of the core."""

import uuid
from typing import Any, ClassVar, NoReturn

from django.conf import settings
from django.db import models

from fillmark.core.values.people import Role


class Household(models.Model):
    """One home. Its row is the lock under which its entries are numbered."""

    id = models.UUIDField(primary_key=True, default=uuid.uuid4, editable=False)
    name = models.CharField(max_length=80)
    time_zone = models.CharField(max_length=64)
    day_starts_clock = models.TimeField()
    last_seq = models.BigIntegerField(default=0)


class Person(models.Model):
    """A caregiver. A sitter's pass holds between two dates."""

    id = models.UUIDField(primary_key=True, default=uuid.uuid4, editable=False)
    household = models.ForeignKey(Household, on_delete=models.PROTECT, related_name="people")
    user = models.OneToOneField(settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="person")
    name = models.CharField(max_length=80)
    role = models.CharField(max_length=10, choices=[(role.value, role.value) for role in Role])
    from_on = models.DateField(null=True)
    until_on = models.DateField(null=True)


class SignInLink(models.Model):
    """A link that signs one person in, once. Only the hash of its token is kept."""

    token_hash = models.CharField(max_length=64, primary_key=True)
    household = models.ForeignKey(Household, on_delete=models.PROTECT)
    person = models.ForeignKey(Person, on_delete=models.PROTECT)
    expires_at = models.DateTimeField()
    used_at = models.DateTimeField(null=True)


class SignInEvent(models.Model):
    """Who came in and how, and who let whom in. For the leads to read."""

    household = models.ForeignKey(Household, on_delete=models.PROTECT, db_index=False)
    person = models.ForeignKey(Person, on_delete=models.PROTECT, related_name="+", db_index=False)
    by = models.ForeignKey(Person, on_delete=models.PROTECT, null=True, related_name="+", db_index=False)
    at = models.DateTimeField()
    what = models.CharField(max_length=20)
    words = models.CharField(max_length=160, default="")

    class Meta:
        indexes: ClassVar = [models.Index(fields=["household", "at"], name="sign_in_event_by_time")]


class Passkey(models.Model):
    """What a person's device signs in with: the public half of a key that never leaves it."""

    credential = models.CharField(max_length=1400, primary_key=True)
    household = models.ForeignKey(Household, on_delete=models.PROTECT)
    person = models.ForeignKey(Person, on_delete=models.PROTECT, related_name="+")
    public_key = models.TextField()
    uses = models.BigIntegerField()
    made_at = models.DateTimeField()
    device = models.CharField(max_length=40)


class Tries(models.Model):
    """How often a password was tried for one name, or from one address, since one fitted. Only their hash is kept."""

    key = models.CharField(max_length=64, primary_key=True)
    count = models.PositiveIntegerField()
    last_at = models.DateTimeField(db_index=True)


class Animal(models.Model):
    id = models.UUIDField(primary_key=True, default=uuid.uuid4, editable=False)
    household = models.ForeignKey(Household, on_delete=models.PROTECT, related_name="animals")
    name = models.CharField(max_length=80)
    # How it is told apart on every screen; chosen by a lead, else by its name.
    shape = models.PositiveSmallIntegerField(null=True)
    color = models.CharField(max_length=16, default="")
    photo = models.ForeignKey("Photo", on_delete=models.PROTECT, null=True, related_name="+")


class Unchanging(models.Model):
    """A row that is written once. The database holds the same by triggers."""

    class Meta:
        abstract = True

    def save(self, *args: Any, **kwargs: Any) -> None:
        if not self._state.adding:
            self._refuse()
        super().save(*args, **{**kwargs, "force_insert": True})

    def delete(self, *_args: Any, **_kwargs: Any) -> NoReturn:
        self._refuse()

    @staticmethod
    def _refuse() -> NoReturn:
        raise TypeError("The record is append-only: write a correction instead.")


class PlanVersion(Unchanging):
    """One version of an animal's care plan: the document whole, and who stands behind it."""

    id = models.UUIDField(primary_key=True, default=uuid.uuid4, editable=False)
    household = models.ForeignKey(Household, on_delete=models.PROTECT)
    animal = models.ForeignKey(Animal, on_delete=models.PROTECT, related_name="plans")
    number = models.PositiveIntegerField()
    document = models.TextField()
    effective_from = models.DateTimeField()
    confirmed_by = models.ForeignKey(Person, on_delete=models.PROTECT)
    vet_words = models.TextField()
    vet_said_on = models.DateField()
    recorded_at = models.DateTimeField()

    class Meta:
        constraints: ClassVar = [models.UniqueConstraint(fields=["animal", "number"], name="plan_number_once")]


class Entry(Unchanging):
    """One recorded fact. `seq` runs from 1 without gaps in each household."""

    id = models.UUIDField(primary_key=True, editable=False)
    household = models.ForeignKey(Household, on_delete=models.PROTECT, db_index=False)
    animal = models.ForeignKey(Animal, on_delete=models.PROTECT, db_index=False)
    seq = models.BigIntegerField()
    kind = models.CharField(max_length=40)
    at = models.DateTimeField()
    zone = models.CharField(max_length=64)
    day = models.DateField()
    session = models.CharField(max_length=16)
    recorded_at = models.DateTimeField()
    by = models.ForeignKey(Person, on_delete=models.PROTECT, db_index=False)
    device = models.CharField(max_length=80)
    payload = models.TextField()
    # No foreign key: a correction may arrive before what it corrects.
    corrects = models.UUIDField(null=True)

    class Meta:
        constraints: ClassVar = [models.UniqueConstraint(fields=["household", "seq"], name="entry_seq_once")]
        indexes: ClassVar = [
            # In the order in which the search goes back: it reads as many as it shows.
            models.Index(fields=["animal", "day", "id"], name="entry_by_day_and_id"),
            models.Index(fields=["animal", "kind", "day"], name="entry_by_kind"),
            models.Index(fields=["animal", "by", "day"], name="entry_by_person"),
            models.Index(fields=["corrects"], name="entry_by_corrects", condition=models.Q(corrects__isnull=False)),
        ]


class Photo(Unchanging):
    """One picture, as it was made small and stripped of its place; an entry says what it shows."""

    id = models.UUIDField(primary_key=True, editable=False)
    household = models.ForeignKey(Household, on_delete=models.PROTECT)
    animal = models.ForeignKey(Animal, on_delete=models.PROTECT, related_name="photos")
    by = models.ForeignKey(Person, on_delete=models.PROTECT, db_index=False)
    recorded_at = models.DateTimeField()
    jpeg = models.BinaryField()
    small_jpeg = models.BinaryField()


class SetAside(models.Model):
    """What a phone wrote without a signal and the record could not keep as it is: whole, until a lead settles it."""

    id = models.UUIDField(primary_key=True, default=uuid.uuid4, editable=False)
    household = models.ForeignKey(Household, on_delete=models.PROTECT, db_index=False)
    by = models.ForeignKey(Person, on_delete=models.PROTECT, related_name="+", db_index=False)
    recorded_at = models.DateTimeField()
    # Of the document: sent again, it is there once.
    digest = models.CharField(max_length=64)
    document = models.TextField()
    code = models.CharField(max_length=40)
    message = models.TextField()
    settled_at = models.DateTimeField(null=True)
    settled_by = models.ForeignKey(Person, on_delete=models.PROTECT, null=True, related_name="+", db_index=False)
    words = models.TextField(default="")
    # The entry of the note that was made of it; none where it was thrown away.
    note = models.UUIDField(null=True)

    class Meta:
        constraints: ClassVar = [models.UniqueConstraint(fields=["household", "digest"], name="set_aside_once")]


class PlanDraft(models.Model):
    """A plan that is being made. Nothing of it is in force, and it may change and go."""

    id = models.UUIDField(primary_key=True, default=uuid.uuid4, editable=False)
    household = models.ForeignKey(Household, on_delete=models.PROTECT)
    # None for the first plan of a new animal.
    animal = models.ForeignKey(Animal, on_delete=models.PROTECT, null=True, related_name="+", db_index=False)
    # Of the version that it began from, 0 for none.
    base_number = models.PositiveIntegerField()
    document = models.TextField()
    # The pages that were answered, and those that were put off, as JSON.
    progress = models.TextField()
    changed_by = models.ForeignKey(Person, on_delete=models.PROTECT, related_name="+", db_index=False)
    changed_at = models.DateTimeField()


class DayRollup(models.Model):
    """What one animal's day adds up to, worked out of the entries when it is asked for; may be made anew."""

    household = models.ForeignKey(Household, on_delete=models.PROTECT, db_index=False)
    animal = models.ForeignKey(Animal, on_delete=models.PROTECT, db_index=False)
    day = models.DateField()
    entries = models.PositiveIntegerField()
    last_at = models.DateTimeField()
    blend_low_ml = models.FloatField(null=True)
    blend_high_ml = models.FloatField(null=True)
    back_low_ml = models.FloatField(null=True)
    back_high_ml = models.FloatField(null=True)
    flush_ml = models.FloatField(null=True)
    # The newest entry that touched the day since it was added up; none where it is as its entries say.
    touched_seq = models.BigIntegerField(null=True)

    class Meta:
        constraints: ClassVar = [models.UniqueConstraint(fields=["animal", "day"], name="rollup_day_once")]


class Standing(models.Model):
    """An entry of a rare kind that still stands, or stood until some day: a lock, a bottle; may be made anew."""

    household = models.ForeignKey(Household, on_delete=models.PROTECT, db_index=False)
    animal = models.ForeignKey(Animal, on_delete=models.PROTECT, db_index=False)
    entry_id = models.UUIDField()
    kind = models.CharField(max_length=40)
    # The last day on which it bears on anything; the last of all days while it stands.
    until = models.DateField()

    class Meta:
        constraints: ClassVar = [models.UniqueConstraint(fields=["animal", "entry_id"], name="standing_once")]
        indexes: ClassVar = [models.Index(fields=["animal", "kind", "until"], name="standing_by_kind")]
