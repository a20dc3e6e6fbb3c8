"""What does the shop see of an inquiry on the consultation it became?"""

from typing import Any

from consult.models import Consultation, Inquiry, State
from shop.core.money import Money


def inquiry_shown(row: Consultation) -> dict[str, Any]:
    """What the overview shows of an inquiry: what the client wrote and was told. One query; none for others."""
    if row.opened_by_id is not None:
        return {}
    inquiry = Inquiry.objects.filter(consultation=row).first()
    if inquiry is None:
        return {}
    told = (inquiry.price_from_minor, inquiry.price_to_minor)
    least, most = (None if minor is None else Money(minor, inquiry.currency) for minor in told)
    return {
        "inquiry": inquiry,
        "inquiry_is_new": row.state == State.INQUIRY,
        "inquiry_least": least,
        "inquiry_most": most,
        "inquiry_photos": row.photos.all(),
    }
