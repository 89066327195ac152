"""The tally of what was done, for the bill. Prices are the trimmer's own; this is no accounting program."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from decimal import ROUND_HALF_UP, Decimal

from dictate.record.rows import ActionRow
from dictate.settings import Settings

_DIGITS = dict.fromkeys(("CLP", "ISK", "JPY", "KRW", "PYG", "UGX", "VND", "XAF", "XOF"), 0) | (
    dict.fromkeys(("BHD", "IQD", "JOD", "KWD", "LYD", "OMR", "TND"), 3)
)
"""Minor units of ISO 4217 where they are not two (from memory of the published list)."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Price:
    """One price of the trimmer's own."""

    amount: Decimal
    per: str = "each"
    """What it is for: once an animal, once a foot, or each time."""


def prices_of(settings: Settings) -> dict[str, Price]:
    """The trimmer's own prices, by kind of action."""
    return {
        kind: Price(amount=amount, per=settings.charge_by.get(kind, "each"))
        for kind, amount in settings.prices.items()
    }


@dataclass(frozen=True, slots=True, kw_only=True)
class TallyLine:
    """One kind of action."""

    kind: str
    animals: int
    """Animals it was done on, once a visit."""
    feet: int
    """Feet it was done on, once a visit."""
    without_foot: int
    """Actions that named no foot: a price for each foot cannot count them."""
    times: int
    """Actions, as confirmed."""
    price: Price | None = None
    digits: int = 2
    """Digits after the point of the currency."""

    @property
    def charged(self) -> int | None:
        """How many the price is multiplied by."""
        if self.price is None:
            return None
        return {"animal": self.animals, "foot": self.feet, "each": self.times}[self.price.per]

    @property
    def amount(self) -> Decimal | None:
        """Price times number, rounded once, here, to what the currency has; sums add these."""
        if self.price is None or self.charged is None:
            return None
        exact = self.price.amount * self.charged
        return exact.quantize(Decimal(1).scaleb(-self.digits), ROUND_HALF_UP)


@dataclass(frozen=True, slots=True, kw_only=True)
class Tally:
    """All lines with their sum."""

    lines: tuple[TallyLine, ...]
    currency: str
    total: Decimal
    """Sum of the lines that have a price."""
    without_price: tuple[str, ...]
    """Kinds that were done and have no price; they are in no sum."""
    without_foot: tuple[str, ...]
    """Kinds priced by the foot of which some named no foot; those are in no sum."""


def tally(
    actions: Iterable[ActionRow], prices: Mapping[str, Price], *, currency: str = ""
) -> Tally:
    """Count actions by kind and multiply by the prices there are."""
    by_kind: dict[str, list[ActionRow]] = {}
    for action in actions:
        by_kind.setdefault(action.kind, []).append(action)
    digits = _DIGITS.get(currency.strip().upper(), 2)
    lines = tuple(
        _line(kind, rows, prices.get(kind), digits) for kind, rows in sorted(by_kind.items())
    )
    return Tally(
        lines=lines,
        currency=currency,
        total=sum((line.amount for line in lines if line.amount is not None), Decimal(0)),
        without_price=tuple(line.kind for line in lines if line.price is None),
        without_foot=tuple(
            line.kind
            for line in lines
            if line.price and line.price.per == "foot" and line.without_foot
        ),
    )


def _line(kind: str, rows: list[ActionRow], price: Price | None, digits: int) -> TallyLine:
    return TallyLine(
        kind=kind,
        animals=len({(row.visit_id, row.animal_id) for row in rows}),
        feet=len({(row.visit_id, row.animal_id, row.foot) for row in rows if row.foot}),
        without_foot=sum(row.foot is None for row in rows),
        times=len(rows),
        price=price,
        digits=digits,
    )
