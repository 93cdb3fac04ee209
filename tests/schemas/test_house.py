"""A house's word on an ingredient: what comes out goes back in."""

from __future__ import annotations

import json

from hypothesis import given
from hypothesis import strategies as st

from schemas.house import dump_house, load_house
from schemas.json_in import read_json
from service.domain.house import NUTRIENTS

words = st.sampled_from(["oat drink", "whitener", "urn"])
amounts = st.floats(0.01, 9, allow_nan=False).map(lambda value: round(value, 2))
weights = st.fixed_dictionaries(
    {"measure": st.sampled_from(["cup_us", "each"]), "grams": amounts},
    optional={"state": st.just("sifted"), "amount": amounts},
)
houses = st.fixed_dictionaries(
    {"source": words},
    optional={
        "name": words,
        "names": st.lists(words, max_size=2),
        "role": st.just("liquid"),
        "flour": st.sampled_from([0, 1, 0.5]),
        "note": words,
        "weights": st.lists(weights, max_size=2),
        "composition": st.dictionaries(
            st.sampled_from([n for n in NUTRIENTS if n != "saturated"]), amounts
        ),
        "contains": st.lists(st.sampled_from(["oats", "milk"]), max_size=2),
        "declaration_complete": st.booleans(),
        "sub_ingredients": st.lists(words, max_size=2),
    },
)


@given(houses)
def test_what_comes_out_goes_back_in(document: dict[str, object]) -> None:
    said = load_house(read_json(json.dumps(document).encode()))
    written = dump_house(said)
    assert load_house(read_json(json.dumps(written).encode())) == said
    assert {name: value for name, value in document.items() if value not in ([], {})}.keys() <= {
        *written, "contains",
    }  # fmt: skip
