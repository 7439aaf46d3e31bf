"""Maps whose copies share what they have in common."""

from hypothesis import given
from hypothesis import strategies as st

from plytally.core.sharing import SharedMap

STEPS = st.lists(
    st.tuples(st.sampled_from(["put", "drop", "copy"]), st.integers(0, 2000), st.integers(0, 9)), max_size=60
)


@given(STEPS)
def test_each_copy_behaves_as_a_dict_of_its_own(steps):
    pairs = [(SharedMap(), {})]
    for act, key, value in steps:
        shared, plain = pairs[value % len(pairs)]
        if act == "put":
            shared.put(key, value)
            plain[key] = value
        elif act == "drop":
            shared.drop(key)
            plain.pop(key, None)
        else:
            pairs.append((shared.copy(), plain.copy()))
    assert [dict(shared) for shared, _ in pairs] == [plain for _, plain in pairs]
    assert [len(shared) for shared, _ in pairs] == [len(plain) for _, plain in pairs]


def test_a_key_that_is_missing_is_missing():
    shared = SharedMap()
    shared.put("a", 1)
    assert (shared.get("b"), "b" in shared, "a" in shared) == (None, False, True)
