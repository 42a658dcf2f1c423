"""Stock of medicines: how closely a bottle is read by eye, and how long before the end it is ordered."""

from fillmark.published.figure import Figure
from fillmark.published.sources import OWN_CHOICE

READ_BY_EYE_FRACTION = Figure(
    id="supplies.read_by_eye",
    value=0.05,
    unit="of what the bottle held",
    source=OWN_CHOICE,
    place="a finger's breadth of a household bottle",
    says="A level read by eye that is off by no more than this raises no question.",
)
ORDER_AHEAD_DAYS = Figure(
    id="supplies.order_ahead_days",
    value=7,
    unit="days",
    source=OWN_CHOICE,
    place="a week for the vet's word, the pharmacy's making and the way",
    says="A medicine is to be ordered this long before it runs out or may be used no more.",
)
LOOK_AHEAD_DAYS = Figure(
    id="supplies.look_ahead_days",
    value=400,
    unit="days",
    source=OWN_CHOICE,
    place="longer than any bottle keeps",
    says="What lasts longer than this is said to last longer; no day is worked out for it.",
)
