"""Twenty-eight published formulas, written as documents, come out as their own sums say.

The quantities in ``published_formulas`` are facts quoted from the pages named in each file
(stored excerpts were read, not live pages); ``flags`` lists their misprints. The sums and
the two water percentages under ``computed`` were worked out by hand with round constants:
water in milk 87.5 %, egg 75 %, yolk 50 %, butter 16 %, fresh yeast 70 %, honey 18 %, beer
94 %. The documents state these under ``ingredients:``, because our table has others (milk
88.1, egg 76.2, yolk 52.3, butter 17.9, fresh yeast 69, honey 17.1, dark beer 90.5 %).
"""

import json
import re
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

import pytest
from ruamel.yaml import YAML

from doughwright.documents.quantities import quantity
from doughwright.engine.dividing import division, even_division
from doughwright.engine.exchange import equivalent_yeast
from doughwright.engine.formula import SolvedFormula
from doughwright.engine.ingredients import ingredient_named
from doughwright.engine.overall import (
    hydration,
    hydration_liquids_only,
    overall_lines,
    prefermented_flour_ratio,
    salt_ratio,
    sugar_ratio,
)
from doughwright.errors import Notice
from doughwright.resolving.formulas import ResolvedFormula, Wish, hydration_range

Facts = dict[str, Any]
Solve = Callable[..., ResolvedFormula]
Problems = Callable[..., tuple[Notice, ...]]

FOLDER = Path(__file__).parent / "published_formulas"
FACTS: dict[str, Facts] = {
    path.stem: YAML(typ="safe").load(path.read_text("utf-8"))
    for path in sorted(FOLDER.glob("*.yaml"))
}
POINT = 0.0011
"""A tenth of a percentage point, and the rounding of the figures compared with."""

LIKE = {
    "milk": ("whole milk", 87.5),
    "egg": ("egg", 75),
    "yolk": ("egg yolk", 50),
    "butter": ("unsalted butter", 16),
    "yeast_fresh": ("fresh yeast", 70),
    "honey": ("honey", 18),
    "beer": ("dark beer", 94),
    "yeast_dry": ("active dry yeast", None),
    "yeast_instant": ("instant yeast", None),
    "starter": ("starter", None),
}
"""Our ingredient for a kind in the facts, and the round constant for its water."""

STAGE_KINDS = {
    **dict.fromkeys(("sponge", "poolish", "biga", "sourdough", "rye sourdough"), "preferment"),
    **dict.fromkeys(("liquid levain", "rye sour", "first dough"), "preferment"),
    **dict.fromkeys(("soaker", "bread soaker", "paste"), "soaker"),
    **dict.fromkeys(("cross", "topping", "finish"), "topping"),
    "filling": "filling",
}
"""Every other stage is a dough."""


def document(facts: Facts, makes: str = "", *, blanks: bool = False) -> str:
    """Write the facts as a formula document; amounts that are not given are left out."""
    own = dict(filter(None, (own_entry(*found) for found in lines_of(facts))))
    head = [f"doughwright: formula/1\nname: {json.dumps(facts['name'])}"]
    head += [f"yield: {makes}"] if makes else []
    stages = "\n".join(preparation(stage, blanks=blanks) for stage in facts["stages"])
    entries = [f"  {json.dumps(name)}: {entry}" for name, entry in own.items()]
    tail = ["ingredients:", *entries] if entries else []
    return "\n".join([*head, "preparations:", stages, *tail]) + "\n"


def lines_of(facts: Facts) -> Iterator[tuple[Facts, Facts]]:
    for stage in facts["stages"]:
        for line in stage["ingredients"]:
            if line["kind"] != "stage":
                yield stage, line


def preparation(stage: Facts, *, blanks: bool) -> str:
    taken = [f"{json.dumps(i['ref'])}: {i['g']} g" for i in stage["ingredients"] if "ref" in i]
    lines = [
        f"      {json.dumps(line_name(line['name']))}: {amount(line, stage)}"
        for line in stage["ingredients"]
        if "ref" not in line and (blanks or line["g"] is not None)
    ]
    kind = STAGE_KINDS.get(stage["name"], "dough")
    head = [f"  {json.dumps(stage['name'])}:", f"    kind: {kind}"]
    uses = [f"    from: {{{', '.join(taken)}}}"] if taken else []
    return "\n".join([*head, *uses, "    ingredients:", *lines])


def line_name(name: str) -> str:
    """``water 2`` is the second line of water."""
    return re.sub(r" (\d)$", r" (\1)", name)


def amount(line: Facts, stage: Facts) -> str:
    if line["g"] is None:
        return ""
    written = f"{line['g']} g"
    if line["kind"] == "starch":
        return f"{{amount: {written}, flour: yes}}"
    hydrated = culture_hydration(line, stage)
    return written if hydrated is None else f"{{amount: {written}, hydration: {hydrated} %}}"


def culture_hydration(line: Facts, stage: Facts) -> float | None:
    """Of a leaven as given; of a culture taken out again, that of its own stage."""
    if line["kind"] == "starter":
        return float(100 * line["water_g"] / line["flour_g"])
    if line["kind"] == "culture" and "carried_forward_g" in stage:
        masses = {i["kind"]: i["g"] for i in stage["ingredients"]}
        return round(100 * float(masses["water"]) / float(masses["flour"]), 6)
    return None


def own_entry(stage: Facts, line: Facts) -> tuple[str, str] | None:
    """Describe an ingredient for the document's ``ingredients:``, if the table is not enough."""
    kind = re.sub(r"_(top|fill)$", "", line["kind"])
    name = line_name(line["name"])
    if kind == "culture" and culture_hydration(line, stage) is None:
        return name, "{kind: other}"  # its mix is not known: it counts by weight only
    like, water = LIKE.get(kind, ("", None))
    if kind == "butter" and line["name"].startswith("salted"):
        like = "salted butter"
    if not like:
        return None
    return name, f"{{like: {like}" + (f", water: {water} %}}" if water else "}")


def plain_water(formula: SolvedFormula) -> float:
    """Water written as water, that in a starter of known hydration included, on flour."""
    water = 0.0
    for p in formula.preparations:
        for line, mass in zip(p.preparation.lines, p.masses, strict=True):
            if line.ingredient.name == "water":
                water += mass * p.used
            elif line.ingredient.kind == "starter":
                water += mass * p.used * (1 - line.ingredient.flour)
    return water / formula.total_flour


def on_flour(formula: SolvedFormula, name: str) -> float:
    return next(line.flour_ratio for line in overall_lines(formula) if line.name == name)


def codes(formula: ResolvedFormula) -> set[str]:
    return {notice.code for notice in formula.notices}


def test_the_whole_set_is_here() -> None:
    assert len(FACTS) == 28


# the weights of a stage are the sum of its lines; totals within a gram, percents within 0.1
@pytest.mark.parametrize("name", FACTS)
class TestEachFormula:
    def test_each_stage_weighs_what_its_lines_do(self, name: str, solve: Solve) -> None:
        solution = solve(document(FACTS[name])).solution
        for stage in FACTS[name]["stages"]:
            assert solution.named(stage["name"]).mass * 1000 == pytest.approx(
                stage["sum_g"], abs=0.01
            )

    def test_total_flour_and_dough(self, name: str, solve: Solve) -> None:
        solution, computed = solve(document(FACTS[name])).solution, FACTS[name]["computed"]
        assert solution.total_flour * 1000 == pytest.approx(computed["flour_total_g"], abs=1.1)
        assert solution.dough * 1000 == pytest.approx(computed["final_dough_sum_g"], abs=0.01)

    def test_both_water_percentages(self, name: str, solve: Solve) -> None:
        solution, computed = solve(document(FACTS[name])).solution, FACTS[name]["computed"]
        assert plain_water(solution) == pytest.approx(computed["plain_water_pct"] / 100, abs=POINT)
        if computed["all_water_pct"] is not None:
            expected = computed["all_water_pct"] / 100
            assert hydration(solution) == pytest.approx(expected, abs=POINT)


STATED = {name: facts for name, facts in FACTS.items() if "stated_total_g" in facts}
TRUE_TOTALS = [n for n, f in STATED.items() if not f["computed"]["stated_minus_sum_g"]]


@pytest.mark.parametrize("name", TRUE_TOTALS)
def test_a_true_printed_total_is_accepted(name: str, solve: Solve) -> None:
    printed = STATED[name]["stated_total_g"]
    solution = solve(document(STATED[name], f"{{dough: {printed} g}}")).solution
    assert solution.dough * 1000 == pytest.approx(printed, abs=0.01)


@pytest.mark.parametrize(
    ("name", "printed", "found"),
    [("fr-brioche-textbook", 760, 756), ("ir-barbari-dough", 880, 885)],
)
def test_a_wrong_printed_total_is_refused(
    name: str, printed: int, found: int, problems: Problems
) -> None:
    assert printed == STATED[name]["stated_total_g"]
    (problem,) = problems(document(STATED[name], f"{{dough: {printed} g}}"))
    assert problem.code == "yield-contradicts"
    assert problem.values["wanted"] == pytest.approx(printed / 1000)
    assert problem.values["found"] == pytest.approx(found / 1000)


def test_every_printed_total_is_one_or_the_other() -> None:
    assert STATED.keys() - TRUE_TOTALS == {"fr-brioche-textbook", "ir-barbari-dough"}


@pytest.mark.parametrize("name", [n for n, f in FACTS.items() if f.get("stated")])
def test_percentages_printed_on_the_page(name: str, solve: Solve) -> None:
    stated = FACTS[name]["stated"]
    solution = solve(document(FACTS[name])).solution
    ours = {
        "total_flour_g": solution.total_flour * 1000,
        "water_pct": 100 * plain_water(solution),
        "prefermented_flour_pct": 100 * prefermented_flour_ratio(solution),
    }
    ours |= (
        {f"{n}_pct": 100 * on_flour(solution, n) for n in ("salt",)} if "salt_pct" in stated else {}
    )
    if "yeast_pct" in stated:
        ours["yeast_pct"] = 100 * on_flour(solution, "fresh yeast")
    if "beer_pct" in stated:
        ours["beer_pct"] = 100 * on_flour(solution, "dark beer")
    assert ours.keys() >= stated.keys()
    assert {key: ours[key] for key in stated} == pytest.approx(stated, abs=0.05)


# --- amounts that are not given -----------------------------------------------------------------


def test_megrelian_khachapuri_asks_for_what_is_missing(problems: Problems) -> None:
    # georgia.travel: the milk has no amount, the yeast is "1 tsp", the salt "a pinch"
    found = problems(document(FACTS["ge-khachapuri-megrelian"], blanks=True))
    assert {p.code for p in found} == {"not-a-quantity"}
    assert [p.where[3] for p in found] == ["milk", "yeast", "salt"]
    assert [(p.place.line, p.place.column) for p in found if p.place] == [(8, 7), (9, 7), (10, 7)]


def test_megrelian_khachapuri_without_its_milk_is_no_dough(solve: Solve) -> None:
    # 20 g of butter on 200 g of flour hold 1.6 % water: whatever hydration is shown is no news
    assert "hydration-unusual" in codes(solve(document(FACTS["ge-khachapuri-megrelian"])))


def test_cheese_bread_salted_to_taste(problems: Problems, solve: Solve) -> None:
    # holrmagazine.com: salt "to taste"; the cheese alone brings some
    (problem,) = problems(document(FACTS["br-pao-de-queijo"], blanks=True))
    assert (problem.code, problem.where[3]) == ("not-a-quantity", "salt")
    assert "salt-low" in codes(solve(document(FACTS["br-pao-de-queijo"])))


def test_cheese_bread_has_its_base_only_where_the_starch_counts(problems: Problems) -> None:
    text = document(FACTS["br-pao-de-queijo"]).replace(", flour: yes", "")
    assert [p.code for p in problems(text)] == ["no-flour"]


# --- misprints, and what gives them away ---------------------------------------------------------


def test_hot_cross_buns_of_75_g_need_more_dough(problems: Problems) -> None:
    # wheelandbarrow.com.au: "makes 24", "75 g each", lines of 1766 g: 34 g short
    (problem,) = problems(
        document(FACTS["au-hot-cross-buns"], "{pieces: 24, piece: 75 g, spare: 0 %}")
    )
    assert problem.code == "pieces-need-more-dough"
    assert problem.values["short"] == pytest.approx(0.034)
    assert problem.values["possible"] == 23
    assert problem.values["lighter"] == pytest.approx(1.766 / 24)


def test_salted_butter_salts_the_buns(solve: Solve) -> None:
    # 80 g of salted butter bring 1.2 g: (5 + 1.2)/650 = 0.95 %; ours 1.6 % salt in butter, 1.29 g
    solution = solve(document(FACTS["au-hot-cross-buns"])).solution
    assert salt_ratio(solution) == pytest.approx(6.2 / 650, abs=0.0005)


def test_yeast_printed_ten_times(solve: Solve, problems: Problems) -> None:
    # kingarthurflour.com, slow rise: 0.75 kg printed where 0.75 % and the total say 0.075 kg
    printed = document(FACTS["fr-slow-rise-baguette"]).replace(
        '"fresh yeast": 75 g',
        f'"fresh yeast": {FACTS["fr-slow-rise-baguette"]["as_printed"]["fresh yeast"]} g',
    )
    found = solve(printed)
    (notice,) = [n for n in found.notices if n.code == "yeast-high"]
    assert notice.values["ratio"] == pytest.approx(0.075)
    assert notice.values["tenth"] == pytest.approx(0.0075)
    (problem,) = problems(
        printed.replace("preparations:", "yield: {dough: 17275 g}\npreparations:")
    )
    assert problem.code == "yield-contradicts"
    assert problem.values["found"] == pytest.approx(17.95)
    assert "yeast-high" not in codes(solve(document(FACTS["fr-slow-rise-baguette"])))


def test_poolish_yeast_percent_printed_a_hundred_times(solve: Solve) -> None:
    # bakemag.com 10807: 20 % printed on the poolish's flour, 7 g on 3300 g is 0.2 %
    text = document(FACTS["fr-poolish-baguette"])
    flour, _, yeast = solve(text).solution.named("poolish").masses
    assert yeast / flour == pytest.approx(0.00212, abs=1e-5)
    found = solve(text.replace("7 g", "660 g", 1).replace("6607 g", "7260 g"))
    (notice,) = [n for n in found.notices if n.code == "yeast-high"]
    assert notice.values["ratio"] == pytest.approx(0.0763)  # (660 + 103)/10000


def test_levain_percents_that_lose_a_hundred(solve: Solve) -> None:
    # bakemag.com 10808: 100 + 100 + 2.5 printed as 102.5; flour = weight/1.025 would double it
    levain = solve(document(FACTS["us-beer-miche"])).solution.named("liquid levain")
    flour = levain.masses[0]
    assert [m / flour for m in levain.masses] == pytest.approx([1.0, 1.0, 0.025], abs=0.0005)
    assert levain.mass / flour == pytest.approx(2.025, abs=0.0005)
    assert levain.mass * 1000 == pytest.approx(2090)  # printed 2089 where it is used


def test_cultures_of_the_miche_counted(solve: Solve) -> None:
    # Left out above. As starters of 100 %: flour 10318 + 13 + 28.5 = 10359.5 g, less a gram for
    # the 2089 of 2090 and 2190 of 2191 g; water (1032 + 999 + 3128 + 41.5)/10359.5 = 50.2 %
    assert "composition-unknown" in codes(solve(document(FACTS["us-beer-miche"])))
    text = re.sub(
        r'"((?:rye )?culture)": (\d+) g',
        r'"\1": {amount: \2 g, hydration: 100 %}',
        document(FACTS["us-beer-miche"]),
    )
    text = re.sub(r'  "(rye )?culture": \{kind: other\}\n', "", text)
    solution = solve(text).solution
    assert solution.total_flour * 1000 == pytest.approx(10359.5, abs=1.2)
    assert plain_water(solution) == pytest.approx(0.502, abs=POINT)


def test_pumpkin_seed_rye_against_its_percent_column(solve: Solve) -> None:
    # home bread wiki: printed 31 % bread flour and 65 % water, lines say 120 and 425 g of 455 g;
    # the total names 20 g of flax, the soaker 30 g
    printed = FACTS["de-pumpkinseed-rye"]["as_printed"]
    solution = solve(document(FACTS["de-pumpkinseed-rye"])).solution
    assert on_flour(solution, "strong white flour") == pytest.approx(0.264, abs=0.0005)
    assert plain_water(solution) == pytest.approx(0.934, abs=0.0005)
    assert on_flour(solution, "flax seeds") == pytest.approx(0.066, abs=0.0005)
    assert (printed["bread flour pct"], printed["water pct"]) == (31, 65)


def test_old_pumpernickel_is_no_flour_and_its_salt_is_low_but_real(solve: Solve) -> None:
    # samartha.net: (500 + 3000 + 3500)/10000 = 70 %; 1.0 % salt stated, 100 g on 10 kg. The kilo
    # of old bread holds another 12 g by our table (1.2 %, from memory).
    found = solve(document(FACTS["de-pumpernickel"]))
    assert "salt-low" not in codes(found)
    assert on_flour(found.solution, "salt") == pytest.approx(0.010)
    assert salt_ratio(found.solution) == pytest.approx(0.0112)


def test_two_columns_two_batches() -> None:
    # Professional Baking: 25.2 oz is 714 g, the metric lines 756 g; each ratio agrees
    ounces = FACTS["fr-brioche-textbook"]["us_column_oz"]
    total = sum(quantity(f"{ounce} oz", "mass").best for ounce in ounces.values())
    assert total * 1000 == pytest.approx(714, abs=1)
    grams = [line["g"] for _, line in lines_of(FACTS["fr-brioche-textbook"])]
    order = [
        "milk",
        "fresh yeast",
        "flour sponge",
        "eggs",
        "flour dough",
        "sugar",
        "salt",
        "butter",
    ]
    for name, metric in zip(order, grams, strict=True):
        assert ounces[name] / 25.2 == pytest.approx(metric / 756, rel=0.01)


@pytest.mark.parametrize(
    ("written", "grams", "other", "printed", "over"),
    [
        # thespatulaandwok.wordpress.com: 7 g dried or 30 g fresh; handbooks 17.5–21 g
        ("active dry yeast", 7, "fresh yeast", 30, 30 / 17.5 - 1),
        # breadangels.com: 2.5 g instant, 5 g active dry, 10 g fresh: 1:2:4 for 1:1.2–1.33:3
        ("instant yeast", 2.5, "active dry yeast", 5, 0.65),
        ("instant yeast", 2.5, "fresh yeast", 10, 0.32),
    ],
)
def test_yeasts_said_to_be_equal_that_are_not(
    written: str, grams: float, other: str, printed: float, over: float
) -> None:
    one, two = ingredient_named(written), ingredient_named(other)
    assert one is not None
    assert two is not None
    found = printed / equivalent_yeast(grams, one, two) - 1
    assert found == pytest.approx(over, abs=0.02)
    assert found > 0.25  # worth a word


def test_sweet_conchas_want_another_yeast(solve: Solve) -> None:
    # 125 g sugar on 500 g flour: 25 %; the topping's sugar is not the dough's
    found = solve(document(FACTS["mx-conchas"]))
    assert "sugar-needs-osmotolerant" in codes(found)
    assert sugar_ratio(found.solution) == pytest.approx(0.25, abs=0.003)


def test_kanelbullar_have_little_salt_and_much_yeast(solve: Solve) -> None:
    # boroughkitchen.com: 3 g of salt on 800 g; 50 g fresh yeast is 6.25 %, usual for such buns
    assert codes(solve(document(FACTS["se-kanelbullar"]))) & {"salt-low", "yeast-high"} == {
        "salt-low"
    }


def test_white_bread_percents_do_not_add_to_the_printed_total(solve: Solve) -> None:
    # aggregator copy of a book: 60 + 1.2 + 64 + 40 + 2 + 8 + 3.5 + 10.7 = 189.4, printed 184.4;
    # two loaves of 454 g take 479.0 g of flour; with 184.4 it would be 492 g
    percents = re.sub(
        r"(\d+) g$",
        lambda match: f"{int(match[1]) / 10} %",
        document(FACTS["us-white-bread-sponge"], "{pieces: 2, piece: 453.6 g, spare: 0 %}"),
        flags=re.MULTILINE,
    ).replace('{"sponge": 1252 g}', "[sponge]")
    solution = solve(percents).solution
    assert solution.dough / solution.total_flour == pytest.approx(1.894)
    assert solution.total_flour * 1000 == pytest.approx(479.0, abs=0.1)


def test_honey_rolls_true_percents(solve: Solve) -> None:
    # bakemag.com 10546 and 10923: the second column is percent of the dough (191.015 % in all):
    # 36.60 printed for the sponge's flour should be 36.65; 16.14 % of water is added, 8.45 true
    solution = solve(document(FACTS["us-honey-white-rolls"])).solution
    share = solution.named("sponge").masses[0] / solution.dough
    assert 100 * share == pytest.approx(36.65, abs=0.01)
    water = solution.named("dough").masses[9]
    assert 100 * water / solution.dough == pytest.approx(8.45, abs=0.01)
    assert 100 * solution.dough / solution.total_flour == pytest.approx(191.015, abs=0.001)


def test_panettone_counts_alternatives_once(solve: Solve) -> None:
    # biancolievito.com: 4589 g for four labelled 1 kg, 1147 g raw each
    found = solve(document(FACTS["it-panettone-4kg"], "{pieces: 4, spare: 0 %}"))
    assert found.solution.piece == pytest.approx(1.147, abs=0.0005)


def test_panettone_leaven_ferments_flour_in_both_doughs(solve: Solve) -> None:
    # hhandg.com: leaven of 70 + 35 g in a first dough with 215 g of flour: 285 of 340 g
    solution = solve(document(FACTS["it-panettone-1kg"])).solution
    assert prefermented_flour_ratio(solution) == pytest.approx(285 / 340)


def test_neapolitan_ranges(solve: Solve) -> None:
    # association page: 1 litre water, 1.6–1.8 kg flour, 40–60 g salt, 0.1–3 g fresh yeast:
    # 1000/1800 to 1000/1600; the yeast's water adds at most 0.13 points
    text = document(FACTS["it-pizza-napoletana"])
    for middle, ends in (("50 g", "40–60 g"), ("1.5 g", "0.1–3 g"), ("1700 g", "1600–1800 g")):
        text = text.replace(f": {middle}", f": {ends}")
    low, high = hydration_range(solve(text))
    assert low == pytest.approx(0.556, abs=POINT)
    assert high == pytest.approx(0.625, abs=0.0015)


def test_textbook_brioche_pours_little(solve: Solve) -> None:
    # 60 g of milk on 300 g of flour, no water at all, and yet 69.7 % hydration
    solution = solve(document(FACTS["fr-brioche-textbook"])).solution
    assert hydration_liquids_only(solution) == pytest.approx(0.20)


def test_hotel_buns_have_no_count(solve: Solve) -> None:
    # aghadoeheights.com: 2393 g, 80 g each; 29 with 2 % spared; 36 need 2939 g, factor 1.228
    found = solve(document(FACTS["ie-hot-cross-buns"], "{piece: 80 g}"))
    assert found.solution.pieces == 29
    assert found.solution.remainder * 1000 == pytest.approx(25, abs=0.5)
    more = solve(document(FACTS["ie-hot-cross-buns"], "{piece: 80 g}"), Wish(pieces=36))
    assert more.solution.pieces == 36
    assert more.solution.dough * 1000 == pytest.approx(2939, abs=1)
    assert more.solution.dough / found.solution.dough == pytest.approx(1.228, abs=0.0005)


def test_braids_of_three_or_six_strands(solve: Solve) -> None:
    # bakewithtex.com: 1031 g; 3 strands of 115 g leave 341 g after two loaves
    dough = solve(document(FACTS["il-challah-sponge"])).solution.dough
    assert division(dough, 0.115, at_a_time=3).remainder * 1000 == pytest.approx(341, abs=0.5)
    assert even_division(dough, 0.115, at_a_time=3).piece * 1000 == pytest.approx(114.6, abs=0.05)
