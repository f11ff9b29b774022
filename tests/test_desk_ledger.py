"""The ledger's page: rows are changed, added, copied, made final, removed and pasted."""

import re
from collections.abc import Iterator
from pathlib import Path

import pytest

from desk_cases import OpenDesk, Reply, contents, opened
from panelworth import read
from spreadsheets import ods, xlsx

HEAD = "date,option,item,kind,amount,low,high,tax_included,supplier,reference,expires,final,note"
FIRST = "2026-08-27,part,labour,estimate,7200,,,no,shop on our field,by telephone,,,first guess"
NEW = {
    "n0.date": "2026-10-30",
    "n0.option": "full",
    "n0.item": "displays",
    "n0.kind": "invoice",
    "n0.amount": "18100.50",
    "n0.supplier": "shop two states away",
}


@pytest.fixture
def desk(tmp_path: Path) -> Iterator[OpenDesk]:
    """Open a desk on the club demo."""
    with opened(tmp_path) as found:
        yield found


def lines_of(desk: OpenDesk) -> list[bytes]:
    """Return the lines of the ledger."""
    return (desk.folder / "ledger.csv").read_bytes().splitlines(keepends=True)


def number_of(desk: OpenDesk, text: str) -> int:
    """Return the number of the row that has this text."""
    [number] = [at for at, line in enumerate(lines_of(desk)[1:]) if text.encode() in line]
    return number


def press(desk: OpenDesk, button: str, changes: dict[str, str] | None = None) -> Reply:
    """Press a button of the page after changing some of its inputs."""
    page = desk.get("ledger")
    assert page.status == 200
    form = {**page.values, **page.forms[0], **(changes or {}), "do": button}
    form.pop("back", None)
    return desk.post("ledger", form)


def text_of(page: Reply) -> str:
    """Return the words of a page."""
    return re.sub(r"\s+", " ", re.sub(r"<[^>]*>", " ", page.text)).replace("&#34;", '"')


def at_cell(page: Reply, cell: str) -> str:
    """Return what the page says about a cell that it marks."""
    about = re.search(rf'<span class="reasons" id="{cell}-about">(.*?)</div>', page.text, re.DOTALL)
    assert about, cell
    return re.sub(r"<[^>]*>", " ", about[1]).replace("&#34;", '"')


def test_all_rows_are_shown_the_last_one_first(desk: OpenDesk) -> None:
    page = desk.get("ledger")
    shown = [int(line) for line in re.findall(r'id="line-(\d+)"', page.text)]
    assert shown == list(range(len(lines_of(desk)), 1, -1))
    first = {key: page.values[f"r0.{key}"] for key in HEAD.split(",")}
    assert ",".join(first.values()).encode() in lines_of(desk)[1]
    assert set(re.findall(r'<option value="([\w-]+)">Refit part', page.text)) == {"part"}
    assert '<datalist id="items-full">' in page.text
    assert 'list="items-part"' in page.text


def test_a_changed_row_changes_alone_and_is_undone(desk: OpenDesk) -> None:
    before, number = lines_of(desk), number_of(desk, "Q 2231")
    reply = desk.save("ledger", {f"r{number}.amount": "11500", f"r{number}.note": "a, b"})
    assert reply.status == 303
    assert reply.headers["Location"].endswith("/ledger?page=1&done=saved")
    after = lines_of(desk)
    assert after[: number + 1] == before[: number + 1]
    assert after[number + 2 :] == before[number + 2 :]
    assert after[number + 1].endswith(b',11500,,,no,equipment dealer,Q 2231,2026-10-20,,"a, b"\n')
    page = desk.get("ledger?done=saved")
    assert "Ledger: 1 row changed" in page.text
    undo = re.search(r'action="/desk/ours/undo"><input[^>]*value="([^"]+)"', page.text)
    assert undo
    reply = desk.post("undo", {"token": undo[1], "back": "ledger"})
    assert reply.headers["Location"] == "/desk/ours/ledger?done=undone"
    assert lines_of(desk) == before


def test_a_row_is_added_at_the_end_and_counts(desk: OpenDesk) -> None:
    before = lines_of(desk)
    assert desk.save("ledger", NEW).headers["Location"].endswith("done=added")
    after = lines_of(desk)
    assert after[:-1] == before
    assert after[-1] == (b"2026-10-30,full,displays,invoice,18100.50,,,,shop two states away,,,,\n")
    case, _problems = read(desk.folder)
    assert case is not None
    assert case.ledger[-1].amount == 18100.5


def test_nothing_typed_is_nothing_written(desk: OpenDesk) -> None:
    before = contents(desk.folder)
    assert desk.save("ledger", {}).headers["Location"].endswith("done=same")
    assert contents(desk.folder) == before
    assert "Undo it" not in desk.get("ledger").text


WRONG = [
    ("amount", "abc", "Expected a number"),
    ("date", "31/12/26", "a day such as"),
    ("option", "ful", 'Did you mean "full"?'),
    ("item", "diplays", 'Did you mean "displays"?'),
    ("kind", "", "Expected"),
    ("low", "17000", "low and high together"),
    ("amount", "€ 5", "a sum in USD"),
    ("amount", "", "write the likely sum".capitalize()),
]


@pytest.mark.parametrize(("key", "text", "expected"), WRONG)
def test_a_wrong_cell_is_shown_there_and_nothing_is_written(
    desk: OpenDesk, key: str, text: str, expected: str
) -> None:
    before = contents(desk.folder)
    page = desk.save("ledger", {**NEW, f"n0.{key}": text, "r0.note": "kept"})
    assert page.status == 422
    assert contents(desk.folder) == before
    assert expected in at_cell(page, f"n0-{key}")
    assert page.values[f"n0.{key}"] == text
    assert page.values["r0.note"] == "kept"


def test_a_wrong_change_of_a_row_is_shown_at_its_cell(desk: OpenDesk) -> None:
    number = number_of(desk, "Q 2231")
    before = contents(desk.folder)
    page = desk.save("ledger", {f"r{number}.expires": "soon"})
    assert page.status == 422
    assert "a day such as" in at_cell(page, f"r{number}-expires")
    assert contents(desk.folder) == before
    page = desk.save("ledger", {f"r{number}.{key}": "" for key in HEAD.split(",")})
    assert page.status == 422
    assert "remove it, or write into it" in page.text


def test_problems_elsewhere_do_not_prevent_writing(desk: OpenDesk) -> None:
    file = desk.folder / "ledger.csv"
    file.write_text(file.read_text() + "2026-10-30,nowhere,,quote,1,,,,,,,,\n")
    scenario = desk.folder / "scenario.toml"
    scenario.write_text(scenario.read_text().replace("years = ", "years = 0.5 # "))
    number = number_of(desk, "Q 2231")
    assert desk.save("ledger", {f"r{number}.amount": "11500"}).status == 303
    page = desk.get("ledger")
    assert "the id of an option" in at_cell(page, f"r{len(lines_of(desk)) - 2}-option")
    link = re.search(r'<a href="([^"]+)">option</a>', page.text)
    assert link
    assert link[1] == f"/desk/ours/ledger?line={len(lines_of(desk))}#line-{len(lines_of(desk))}"


def test_a_sum_that_makes_others_unclear_is_not_written(desk: OpenDesk) -> None:
    file = desk.folder / "ledger.csv"
    file.write_text(
        f'{HEAD}\n2026-10-01,full,displays,quote,"17,250",,,,,,,,\n'
        '2026-10-02,full,labour,quote,"1,250.00",,,,,,,,\n'
    )
    before = file.read_bytes()
    page = desk.save("ledger", {**NEW, "n0.amount": "12,5"})
    assert page.status == 422
    assert "With this, row 2 would be unclear" in page.text
    assert file.read_bytes() == before


def test_an_invoice_is_made_final(desk: OpenDesk) -> None:
    desk.save("ledger", NEW)
    number = len(lines_of(desk)) - 2
    page = desk.get("ledger")
    assert f'value="final-{number}"' in page.text
    assert f'value="final-{number_of(desk, "INV 0412")}"' not in page.text  # it is final
    before = lines_of(desk)
    assert press(desk, f"final-{number}").status == 303
    assert lines_of(desk)[:-1] == before[:-1]
    assert lines_of(desk)[-1] == before[-1].replace(b",,\n", b",yes,\n")


def test_a_row_is_removed_and_what_was_typed_elsewhere_is_saved(desk: OpenDesk) -> None:
    before, number = lines_of(desk), number_of(desk, "Q 0391-D rev 1")
    assert press(desk, f"remove-{number}", {"r0.note": "typed"}).status == 303
    after = lines_of(desk)
    assert after[2:] == [line for line in before[2:] if line != before[number + 1]]
    assert after[1].endswith(b",typed\n")


def test_a_copy_is_filled_in_and_not_written_before_it_is_saved(desk: OpenDesk) -> None:
    before, number = lines_of(desk), number_of(desk, "Q 2231")
    page = press(desk, f"copy-{number}", {"r0.note": "typed"})
    assert page.status == 200
    assert lines_of(desk) == before
    assert page.values["n0.reference"] == "Q 2231"
    assert page.values["r0.note"] == "typed"
    form = {**page.values, **page.forms[0], "n0.reference": "Q 2232", "do": "save"}
    assert desk.post("ledger", form).status == 303
    assert lines_of(desk)[2:] == [
        *before[2:],
        before[number + 1].replace(b"Q 2231", b"Q 2232"),
    ]


PASTED = (
    "Date\tOption\tItem\tKind\tAmount\tSupplier\tNote\r\n"
    '30/10/2026\tfull\tdisplays\tinvoice\t$ 1,200.50\tshop\t"two\r\nlines"\r\n'
    "2026-10-31\tfull\tdiplays\tpayment\t1e3\tshop\t\r\n"
)


def test_pasted_rows_are_shown_as_they_would_be_read_before_they_are_written(
    desk: OpenDesk,
) -> None:
    before = lines_of(desk)
    page = press(desk, "paste", {"rows": PASTED})
    assert page.status == 200
    assert lines_of(desk) == before
    assert page.values["n0.note"] == "two\nlines"
    assert "Did you mean" in at_cell(page, "n1-item")
    assert "a number" in at_cell(page, "n1-amount")
    right = {"n1.item": "displays", "n1.amount": "1000"}
    page = desk.post("ledger", {**page.values, **page.forms[0], **right, "do": "save"})
    assert page.status == 303
    assert b"".join(lines_of(desk)[len(before) :]) == (
        b'30/10/2026,full,displays,invoice,"$ 1,200.50",,,,shop,,,,"two\nlines"\n'
        b"2026-10-31,full,displays,payment,1000,,,,shop,,,,\n"
    )


def test_what_is_pasted_is_not_lost_when_save_is_pressed(desk: OpenDesk) -> None:
    before = lines_of(desk)
    page = press(desk, "save", {"rows": PASTED})
    assert page.status == 200
    assert page.values["n1.item"] == "diplays"
    assert page.values["rows"] == ""
    assert lines_of(desk) == before


def test_pasted_sums_and_days_say_what_they_are_read_as(desk: OpenDesk) -> None:
    page = press(desk, "paste", {"rows": PASTED})
    assert "Read as 1200.5" in at_cell(page, "n0-amount")
    assert "Read as 2026-10-30" in at_cell(page, "n0-date")
    assert "Read as" not in at_cell(page, "n1-amount")  # its row has an error


@pytest.mark.parametrize("rows", ["", " \n", 'a\t"b', "x\t1\n" * 151])
def test_what_cannot_be_pasted_stays_in_its_box(desk: OpenDesk, rows: str) -> None:
    before = contents(desk.folder)
    page = press(desk, "paste", {"rows": rows})
    assert page.status == 422
    assert page.values["rows"].strip() == rows.strip()
    assert contents(desk.folder) == before


def test_a_file_that_changed_meanwhile_is_not_overwritten(desk: OpenDesk) -> None:
    page, file = desk.get("ledger"), desk.folder / "ledger.csv"
    number = number_of(desk, "Q 2231")
    theirs = [lines_of(desk)[0], b"2026-08-01,part,labour,estimate,1,,,,,,,,\n"]
    theirs += lines_of(desk)[1:-1]
    theirs += [lines_of(desk)[-1].replace(b"6480", b"6500")]
    file.write_bytes(b"".join(theirs))
    typed = {f"r{number}.amount": "11500", **NEW}
    reply = desk.post("ledger", {**page.values, **page.forms[0], **typed, "do": "save"})
    assert reply.status == 422
    assert file.read_bytes() == b"".join(theirs)
    assert reply.values[f"r{number + 1}.reference"] == "Q 2231"  # it is one row further now
    assert reply.values[f"r{number + 1}.amount"] == "11500"
    assert reply.values["n0.amount"] == NEW["n0.amount"]
    assert "changed after this page was made" in reply.text
    again = {**reply.values, **reply.forms[0], "do": "save"}
    assert desk.post("ledger", again).status == 303
    assert b"11500" in lines_of(desk)[number + 2]
    assert lines_of(desk)[1] == theirs[1]


@pytest.mark.parametrize("button", ["copy-3", "paste", "remove-3"])
def test_no_button_takes_old_rows_for_those_of_a_file_that_changed(
    desk: OpenDesk, button: str
) -> None:
    page, file = desk.get("ledger"), desk.folder / "ledger.csv"
    theirs = b"".join([lines_of(desk)[0], *lines_of(desk)[2:]])
    file.write_bytes(theirs)
    form = {**page.values, **page.forms[0], "rows": PASTED, "r5.note": "typed", "do": button}
    reply = desk.post("ledger", form)
    assert reply.status == 422
    assert file.read_bytes() == theirs
    assert reply.values["r4.note"] == "typed"  # one row less comes before it
    assert reply.values["rows"].split() == PASTED.split()
    again = {**reply.values, **reply.forms[0], "rows": "", "do": "save"}
    saved = desk.post("ledger", again)
    assert saved.status == 303
    assert lines_of(desk)[5].endswith(b",typed\n")
    assert lines_of(desk)[1:5] == theirs.splitlines(keepends=True)[1:5]


def test_a_folder_without_a_ledger_gets_one(desk: OpenDesk) -> None:
    (desk.folder / "ledger.csv").unlink()
    page = desk.get("ledger")
    assert "There are no rows yet" in page.text
    assert desk.save("ledger", NEW).status == 303
    assert (desk.folder / "ledger.csv").read_text().splitlines() == [
        HEAD,
        "2026-10-30,full,displays,invoice,18100.50,,,,shop two states away,,,,",
    ]


@pytest.mark.parametrize("content", [b'date,"item\n1', b"date\n\xff", b"x" * 1_000_001])
def test_a_ledger_that_is_no_table_is_left_alone(desk: OpenDesk, content: bytes) -> None:
    page, file = desk.get("ledger"), desk.folder / "ledger.csv"
    file.write_bytes(content)
    assert "correct it in a text editor first" in desk.get("ledger").text
    assert desk.post("ledger", {**page.forms[0], **NEW, "fingerprint": ""}).status == 422
    assert file.read_bytes() == content


@pytest.mark.parametrize(("name", "write"), [("ledger.xlsx", xlsx), ("ledger.ods", ods)])
def test_a_workbook_is_shown_and_changed_elsewhere(
    desk: OpenDesk, name: str, write: object
) -> None:
    token = desk.get("ledger").forms[0]
    (desk.folder / "ledger.csv").unlink()
    rows = [HEAD.split(","), FIRST.split(",")]
    rows[1][4] = 7200.0
    (desk.folder / name).write_bytes(write(rows))
    page = desk.get("ledger")
    assert f"kept in {name}" in text_of(page)
    assert re.search(r'<td class="sum">7,200</td>', page.text)
    assert "do" not in page.values
    assert "n0.date" not in page.values
    assert desk.post("ledger", {**token, **NEW}).status == 200
    assert not (desk.folder / "ledger.csv").exists()


def test_a_long_ledger_has_pages_of_a_hundred_rows(desk: OpenDesk) -> None:
    rows = [f"2026-10-01,full,displays,quote,{17000 + at},,,,shop,Q {at},,," for at in range(450)]
    (desk.folder / "ledger.csv").write_text("\n".join([HEAD, *rows, ""]))
    page = desk.get("ledger?page=5")
    assert re.findall(r'id="line-(\d+)"', page.text) == [str(line) for line in range(51, 1, -1)]
    assert 'id="line-240"' in desk.get("ledger?line=240").text
    assert len(desk.get("ledger?page=99").text) == len(page.text)
    form = {**page.values, **page.forms[0], "r7.amount": "5", "do": "save"}
    reply = desk.post("ledger?page=5", form)
    assert reply.headers["Location"] == "/desk/ours/ledger?page=5&done=saved"
    assert lines_of(desk)[8] == b"2026-10-01,full,displays,quote,5,,,,shop,Q 7,,,\n"
    assert lines_of(desk)[9] == f"{rows[8]}\n".encode()


def test_without_its_token_the_ledger_is_not_written(desk: OpenDesk) -> None:
    before = contents(desk.folder)
    form = {**desk.get("ledger").forms[0], **NEW}
    for wrong in ({**form, "token": ""}, {**form, "token": desk.get("scenario").forms[0]["token"]}):
        assert desk.post("ledger", wrong).status == 403
    assert desk.post("ledger", form, Origin="http://attacker.example").status == 403
    assert contents(desk.folder) == before
