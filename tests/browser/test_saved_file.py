"""A phone's own file, brought to the shop computer by hand, and the phone that syncs after all."""

from plytally.workshop.bench import Bench
from plytally.workshop.phone_file import take_phone_file

WORDS = "mixed eighty grams at four to one"


def test_what_a_phone_saved_comes_into_the_log_and_its_sync_later_doubles_nothing(shop, phones, tmp_path):
    phone = phones(shop.url)
    phone.pair(shop.code())
    shop.close()
    phone.write(WORDS)
    phone.until_operations(1)
    phone.take_photos(b"a photo" * 1000)
    phone.until_operations(2)
    phone.speak(1)
    phone.until_gone_through()
    phone.open("Shop")
    with phone.page.expect_download() as waiting:
        phone.page.get_by_role("button", name="Save everything to a file").click()
    waiting.value.save_as(tmp_path / "phone.zip")

    with Bench.open(shop.folder) as bench:
        taken = take_phone_file(bench, tmp_path / "phone.zip")
        first, spoken = bench.log.state.order
        assert (taken.new, taken.media, taken.notes, taken.refused, taken.damaged) == (4, 2, 0, (), ())
        assert [each.role for each in first.attachments] == ["photo"]
        assert [each.role for each in spoken.attachments] == ["sound"]
        head = bench.log.journal.head.seq

    again = type(shop)(shop.folder, port=shop.port)
    try:
        phone.page.get_by_role("button", name="Send now").click()
        phone.until_all_there()
        assert len(again.ids()) == head == 4
    finally:
        again.close()
