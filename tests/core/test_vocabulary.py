"""The builder's words: how they join the trade's, and which cannot be listened for."""

import pytest

from plytally.core.names import Name
from plytally.core.vocabulary import PartWords, Vocabulary, VocabularyError


def spoken(vocabulary, name):
    return next(each.spoken for each in vocabulary.materials if each.name == name)


def test_a_new_material_joins_the_list():
    own = Vocabulary().with_words({"materials": {"basalt twill": ["basalt"]}})

    assert spoken(own, "basalt twill") == ("basalt",)


def test_a_known_material_gets_a_further_way_of_being_said():
    own = Vocabulary().with_words({"materials": {"BID": ["bidirectional"]}})

    assert spoken(own, "BID")[0] == "bid"
    assert "bidirectional" in spoken(own, "BID")


def test_a_name_in_other_capitals_is_the_same_name_spelt_as_given():
    own = Vocabulary().with_words({"materials": {"bid": ["bid"]}})

    assert [each.name for each in own.materials].count("bid") == 1
    assert "BID" not in [each.name for each in own.materials]


def test_digits_in_a_name_are_said_as_words():
    assert Name("Rib 12").spoken == ("rib twelve",)


@pytest.mark.parametrize(
    ("words", "says"),
    [
        ({"fabrics": {"bid": ["bid"]}}, "'fabrics' is not a word list"),
        ({"materials": ["bid"]}, "must map each name"),
        ({"materials": {"bid": "bid"}}, "must be a list of words"),
        ({"materials": {"mat": ["uni"]}}, "'uni' is said for both"),
    ],
)
def test_words_that_cannot_be_used_say_why(words, says):
    with pytest.raises(VocabularyError, match=says):
        Vocabulary().with_words(words)


def test_two_parts_that_sound_the_same_are_refused():
    with pytest.raises(VocabularyError, match="said for both"):
        Vocabulary((PartWords(Name("rib 2")), PartWords(Name("rib two"))))
