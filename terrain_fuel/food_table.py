"""Foods by weight: what published tables say of 100 g, for what is weighed in the kitchen."""

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class FoodValue:
    """One food of a table.

    Parameters
    ----------
    name : stable name, in English
    kind : what kind of item it is as a rule
    carbohydrate_g : available carbohydrate, fibre left out, in 100 g [g]
    sodium_mg : in 100 g [mg], None where the table was not asked
    source : key of the table
    """

    name: str
    kind: str
    carbohydrate_g: float
    sodium_mg: float | None
    source: str


# Available carbohydrate as [Ciqual20]_ has it; [SR28]_ counts fibre in, so total less fibre. The fibres of
# pear, potato and prune, the chestnut and the hard sugar are from memory. Entries of Ciqual: bread is "Pain
# (aliment moyen)", baguette 7001, sandwich bread "Pain de mie, courant" 7200, stewed fruit "Compote, tout
# type de fruits"; of SR28: apricot 09032, bagel 18001, prune "Plums, dried (prunes), uncooked", wholemeal
# "Bread, whole-wheat, commercially prepared".
FOOD_TABLE: tuple[FoodValue, ...] = (
    FoodValue("apricot, dried", "chew", 62.64 - 7.3, 10.0, "SR28"),
    FoodValue("bagel, plain", "solid", 52.38 - 1.6, None, "SR28"),
    FoodValue("baguette", "solid", 58.3, None, "Ciqual20"),
    FoodValue("banana", "solid", 19.7, None, "Ciqual20"),
    FoodValue("barley sugar", "chew", 98.0 - 0.0, None, "SR28"),
    FoodValue("bread", "solid", 54.4, None, "Ciqual20"),
    FoodValue("bread, sandwich", "solid", 52.3, None, "Ciqual20"),
    FoodValue("bread, wholemeal", "solid", 42.7 - 6.0, 455.0, "SR28"),
    FoodValue("brioche, packed", "solid", 52.7, 401.0, "Ciqual20"),
    FoodValue("cereal bar with fruit", "solid", 73.5, None, "Ciqual20"),
    FoodValue("chestnut, roasted", "solid", 52.96 - 5.1, None, "SR28"),
    FoodValue("date, dried", "chew", 64.7, None, "Ciqual20"),
    FoodValue("fig, dried", "chew", 63.87 - 9.8, None, "SR28"),
    FoodValue("fruit jelly", "chew", 76.6, None, "Ciqual20"),
    FoodValue("granola bar, soft", "solid", 67.3 - 4.6, None, "SR28"),
    FoodValue("honey", "gel", 81.7, None, "Ciqual20"),
    FoodValue("jam", "gel", 60.2, None, "Ciqual20"),
    FoodValue("jelly sweets", "chew", 80.2, None, "Ciqual20"),
    FoodValue("pear, dried", "solid", 69.7 - 7.5, None, "SR28"),
    FoodValue("potato, boiled", "solid", 20.01 - 1.8, None, "SR28"),
    FoodValue("prune, dried", "chew", 63.88 - 7.1, None, "SR28"),
    FoodValue("raisins", "chew", 73.2, None, "Ciqual20"),
    FoodValue("rice cake, puffed and salted", "solid", 81.5 - 4.2, 326.0, "SR28"),
    FoodValue("rice, cooked", "solid", 31.8, None, "Ciqual20"),
    FoodValue("spice bread", "solid", 71.5, 189.0, "Ciqual20"),
    FoodValue("stewed fruit", "gel", 23.9, None, "Ciqual20"),
)
