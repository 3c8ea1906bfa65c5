"""A bottle's contents in an account of the tests' own: poured in, mixed evenly, taken out."""

from dataclasses import dataclass


@dataclass
class Bottle:
    """What is in a bottle: drink [ml], carbohydrate [g] and sodium [mg]."""

    ml: float = 0.0
    grams: float = 0.0
    salt_mg: float = 0.0

    def take(self, ml: float) -> "Bottle":
        """Take some out and return what it is."""
        share = ml / self.ml if self.ml > 0.0 else 0.0
        out = Bottle(ml, share * self.grams, share * self.salt_mg)
        self.ml, self.grams, self.salt_mg = self.ml - ml, self.grams - out.grams, self.salt_mg - out.salt_mg
        return out
