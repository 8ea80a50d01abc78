"""Refusing a row of the speed table that cannot be meant."""

from vessel.calc.wording import knots
from vessel.errors import BadInput
from vessel.models import SpeedPoint


def refuse_fall(*, vessel_id: int, rpm: int, speed_mps: float, row_id: int = 0) -> None:
    """Raises BadInput where her speed would fall as the revolutions rise; `row_id` is the row that is changed."""
    others = SpeedPoint.objects.filter(vessel_id=vessel_id).exclude(pk=row_id)
    slower = others.filter(rpm__lt=rpm, speed_mps__gt=speed_mps).order_by("-rpm").first()
    faster = others.filter(rpm__gt=rpm, speed_mps__lt=speed_mps).order_by("rpm").first()
    for other in (slower, faster):
        if other is not None:
            raise BadInput(
                f"{knots(speed_mps, 1)} at {rpm} rpm does not go with {knots(other.speed_mps, 1)} at {other.rpm} rpm: "
                "she does not slow down as the revolutions rise. Mend one of the two. Nothing was changed."
            )
