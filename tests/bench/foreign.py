"""Speech that is no phrase of the phrasebook: ordinary talk in a shop, and other languages.

Each with the espeak-ng voice that speaks it.
"""

FOREIGN = (
    ("en-us", "the heater tripped the breaker again so somebody should look at the wiring on sunday"),
    ("en-us+f3", "please call the hardware store about the delivery on friday"),
    ("en-gb+m7", "my back hurts so i am going home early"),
    ("en-us+m5", "the dog got into the workshop and knocked over the paint"),
    ("en-gb-x-rp+f2", "i think we need more coffee and some clean rags"),
    ("en-gb-scotland+m3", "the radio says it will rain all weekend"),
    ("en-us", "she said the package would arrive before lunch"),
    ("en-us+f3", "the price of plywood has gone up again"),
    ("en-gb+m7", "there is a strange smell coming from the garage"),
    ("en-us+m5", "he wants to sell his motorcycle and buy a boat"),
    ("en-gb-x-rp+f2", "i am not sure whether that was a good idea"),
    ("en-us", "let us have lunch and talk about it later"),
    ("en-us+f3", "the right tool for this would be a longer roller"),
    ("en-gb+m7", "we should get two of those from the other supplier"),
    ("de", "das wetter ist heute schön und wir gehen spazieren"),
    ("fr-fr", "je voudrais un café et deux croissants"),
    ("es", "mañana vamos a la playa con los niños"),
    ("it", "questa sera mangiamo una pizza con gli amici"),
    ("nl", "ik ga morgen naar de markt om groente te kopen"),
    ("sv", "vi ska åka till stugan i helgen"),
)
