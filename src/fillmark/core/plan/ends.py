"""Orders that end by themselves: until which day they hold, and why there are such."""

from fillmark.core.values.document import Day, Name, Part


class Ends(Part):
    """These orders hold until a day; from the next day on the plan before holds again.

    Attributes:
        last_on: Last day. From the next day on the plan before holds again.
        why: What for. Such as: smaller meals, this batch.
    """

    last_on: Day
    why: Name
