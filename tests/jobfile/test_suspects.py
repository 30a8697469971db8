"""Dirty tallies: each suspected cell is named, with a proposal, and nothing is mended."""

import pytest
from tests.jobfile.folders import ESP_1, JOB_1, TAIL_1, files_1, files_2, put, rack_1, rack_2

from abreast.jobfile import read_job


def suspicions(tmp_path, files, **changes):
    result = read_job(put(tmp_path / "job", files | changes))
    assert result.job is not None, [str(one) for one in result.errors]
    return result.suspicions


def found(tmp_path, files, **changes):
    """The suspicions beside the one that the received files have anyway."""
    return [
        one
        for one in suspicions(tmp_path, files, **changes)
        if one.where.piece not in ("P23", "Q27", "Q28")
    ]


def rack(old: str, new: str) -> dict[str, str]:
    assert old in rack_1()
    return {"rack.csv": rack_1().replace(old, new, 1)}


def test_the_traps_of_the_received_jobs_are_found_and_nothing_else(tmp_path):
    (p23,) = suspicions(tmp_path / "1", files_1())
    assert (p23.where.piece, p23.where.row, p23.where.field) == ("P23", 39, "lower_end")
    assert "thread EU occurs nowhere in the bypass (SF)" in str(p23)
    result = read_job(put(tmp_path / "2", files_2()))
    texts = {one.where.piece: str(one) for one in result.issues}
    assert set(texts) == {"Q12", "Q27", "Q28"}
    assert "stands twice" in texts["Q12"]
    assert "(the other stands in row 23)" in texts["Q12"]
    assert "correct it to 10.04 ft (3.060 m)" in texts["Q27"]


def test_a_suspected_piece_is_blocked_and_the_job_is_not(tmp_path):
    result = read_job(put(tmp_path, files_2("Q12b")))
    job = result.require_job()
    assert not result.is_blocked
    assert job.blocked("Q27")
    assert not job.usable(next(item for item in job.rack if item.id == "Q27"))
    assert job.usable(job.rack[0])
    # the value itself stays what was typed
    assert next(item for item in job.rack if item.id == "Q27").overall_m.si == 10.04


def test_a_piece_laid_aside_is_out_of_the_question(tmp_path):
    text = rack_2("Q12b").replace("10.04,passed,usable,", "10.04,passed,rejected,feet?")
    names = {one.where.piece for one in suspicions(tmp_path, files_2(), **{"rack.csv": text})}
    assert names == {"Q28"}


LENGTHS = {
    "one foot long": ("20,20.03,", "20,21.03,", "P04", "Off by 1.00? 20.03 would fit"),
    "one foot short": ("31,31.09,", "31,30.09,", "B08", "Off by 1.00? 31.09 would fit"),
    "digits swapped": ("31,31.42,", "31,34.12,", "B01", "Digits swapped? 31.42 would fit"),
    "pup swapped": ("12,12.07,", "12,12.70,", "P08", "Digits swapped? 12.07 would fit"),
    "outlier": ("15,15.04,", "15,15.36,", "P05", "Measure the piece again"),
    "metres in feet": ("20,20.06,", "20,6.11,", "P01", "as if metres stood in a column of feet"),
}


@pytest.mark.parametrize(("old", "new", "piece", "said"), LENGTHS.values(), ids=LENGTHS.keys())
def test_a_length_off_its_class(tmp_path, old, new, piece, said):
    # a length in the wrong unit makes the mass per length look wrong as well
    result = [one for one in found(tmp_path, files_1(), **rack(old, new)) if one.code != "mass"]
    assert [(one.where.file, one.where.field, one.where.piece) for one in result] == [
        ("rack.csv", "overall", piece)
    ]
    assert said in str(result[0])


def test_feet_among_joints_sold_without_a_nominal_length(tmp_path):
    # 31.36 ft is 9.5585 m, in the middle of the joints of job 2
    text = rack_2("Q12b").replace("joint,FJ pin,FJ box,9.5,", "joint,FJ pin,FJ box,,")
    text = text.replace("9.562", "31.36", 1)
    by_length = [
        one for one in found(tmp_path, files_2(), **{"rack.csv": text}) if one.code == "outlier"
    ]
    assert len(by_length) == 1
    assert "Typed in feet? 31.36 ft (9.559 m) would fit" in str(by_length[0])


def test_metres_for_feet_in_the_metric_tally_both_ways(tmp_path):
    text = rack_2("Q12b").replace("6.1,6.094", "6.1,1.857")
    (one,) = found(tmp_path, files_2(), **{"rack.csv": text})
    assert one.where.piece == "Q02"
    assert "as if metres stood in a column of feet" in str(one)


def with_column(name: str, values: dict[str, str], base: str | None = None) -> dict[str, str]:
    head, *rows = (base or rack_1()).splitlines()
    more = [f"{row},{values.get(row.split(',')[0], '')}" for row in rows]
    return {"rack.csv": "\n".join([f"{head},{name}", *more]) + "\n"}


@pytest.mark.parametrize(
    ("effective", "field", "said"),
    [
        ("31.18", None, ""),
        ("31.42", "overall", "are the same: one was copied"),
        ("30.94", "effective", "loss taken off twice"),
        ("31.25", "effective", "not the loss 0.24 ft of its thread, but that of thread EU"),
        ("31.00", "effective", "not the loss 0.24 ft of its thread"),
    ],
)
def test_a_suppliers_effective_length(tmp_path, effective, field, said):
    changes = with_column("effective [ft]", {"B01": effective})
    result = found(tmp_path, files_1(), **changes)
    assert [one.where.field for one in result] == ([field] if field else [])
    assert all(said in str(one) for one in result)


def test_a_loss_of_another_thread(tmp_path):
    changes = with_column("make_up_loss [ft]", {"B01": "0.17", "B02": "0.24", "B03": "0"})
    texts = {one.where.piece: str(one) for one in found(tmp_path, files_1(), **changes)}
    assert set(texts) == {"B01", "B03"}
    assert "is not that of its thread, 0.24 ft, but that of thread EU" in texts["B01"]


def test_a_thread_without_loss_blocks_the_job(tmp_path):
    threads = files_1()["threads.csv"].replace("SF,0.24", "SF,0")
    result = read_job(put(tmp_path, files_1() | {"threads.csv": threads}))
    assert result.is_blocked
    assert any("loses no length" in str(one) for one in result.suspicions)


def test_effective_lengths_all_through_the_overall_column(tmp_path):
    head, *rows = rack_1().splitlines()
    short = []
    for row in rows:
        cells = row.split(",")
        if cells[0].startswith("P"):
            cells[5] = f"{float(cells[5]) - 0.24:.2f}"
        short.append(",".join(cells))
    text = "\n".join([head, *short]) + "\n"
    texts = [str(one) for one in found(tmp_path, files_1(), **{"rack.csv": text})]
    assert any("effective lengths may stand in the overall column" in text for text in texts)
    assert any(text.startswith("rack.csv, row 1, overall") for text in texts)


EU_NAMES = ("P24", "T01", "T02", "T03", "T05", "P25")


def dotted(decimals: list[str]) -> str:
    rows = ["id,kind,lower_end,upper_end,overall [ft],drift"]
    rows += [f"B{n},joint,SF pin,SF box,31.{d},passed" for n, d in enumerate(decimals, 10)]
    # the pieces that other tables name
    rows += [
        f"{name},pup,{end} pin,{end} box,{feet}.02,passed"
        for name, end, feet in (("P08", "SF", 12), ("P10", "SF", 10))
    ]
    rows += [f"{name},joint,EU pin,EU box,31.05,passed" for name in EU_NAMES]
    return "\n".join(rows) + "\n"


def test_feet_and_inches_behind_a_point(tmp_path):
    inches = {"rack.csv": dotted(["05", "11", "00", "07", "10", "02"])}
    hits = [one for one in suspicions(tmp_path, files_1(), **inches) if not one.where.piece]
    assert [(one.where.row, one.where.field, one.code) for one in hits] == [
        (1, "overall", "dotted-inches")
    ]
    plain = {"rack.csv": dotted(["05", "11", "00", "07", "42", "02"])}
    hits = [one for one in suspicions(tmp_path, files_1(), **plain) if one.code == "dotted-inches"]
    assert hits == []


def test_two_measurements_that_differ(tmp_path):
    changes = with_column("overall_2 [ft]", {"B01": "31.43", "B02": "31.26"})
    (one,) = found(tmp_path, files_1(), **changes)
    assert (one.where.piece, one.where.field) == ("B02", "overall_2")
    assert "differ by 1.200 in" in str(one)


THREADS = {
    "box-box": ("B01,joint,SF pin", "B01,joint,SF box", "B01", "is a box: no pin to make up"),
    "pin up": ("12.02,", "12.02,", "", ""),
    "crossed pup": ("P01,pup,SF pin,SF box", "P01,pup,SF pin,EU box", "P01",
                    "a pup with SF pin and EU box"),
    "tail joint": ("T04,joint,EU pin,EU box", "T04,joint,SF pin,SF box", "T04",
                   "occurs nowhere in the tail (EU)"),
}  # fmt: skip


@pytest.mark.parametrize(("old", "new", "piece", "said"), THREADS.values(), ids=THREADS.keys())
def test_pieces_that_do_not_screw_together(tmp_path, old, new, piece, said):
    result = [one for one in found(tmp_path, files_1(), **rack(old, new)) if one.where.piece]
    assert {one.where.piece for one in result} == ({piece} if piece else set())
    assert not piece or any(said in str(one) for one in result)


def test_a_left_hand_piece_is_called_so(tmp_path):
    threads = files_1()["threads.csv"].replace("\n", ",hand\n", 1).replace("1600\n", "1600,\n")
    threads = threads.replace("2800\n", "2800,\nSL,0.24,1300,1450,1600,left\n").rstrip(",")
    threads = threads.replace("2250,2800,", "2250,2800,right")
    changes = rack("B01,joint,SF pin,SF box", "B01,joint,SL pin,SL box")
    (one,) = found(tmp_path, files_1(), **changes, **{"threads.csv": threads})
    assert "and is left-hand" in str(one)


def test_a_crossover_makes_a_thread_reachable(tmp_path):
    text = rack_1() + "X01,crossover,SF pin,EU box,,1.20,10,passed,,usable,,bypass\n"
    assert suspicions(tmp_path, files_1(), **{"rack.csv": text}) == ()


def test_union_and_base_of_different_threads_block_the_job(tmp_path):
    toml = JOB_1.replace('lower_end = "SF pin"', 'lower_end = "EU pin"')
    texts = [str(one) for one in found(tmp_path, files_1(), **{"job.toml": toml})]
    assert any("union.lower_end: EU pin and SF box have no thread in common" in t for t in texts)
    toml = JOB_1.replace('lower_end = "SF pin"', 'lower_end = "SF box"')
    texts = [str(one) for one in found(tmp_path, files_1(), **{"job.toml": toml})]
    assert any("does not go into the box of the bypass" in t for t in texts)


def test_a_tail_whose_joints_do_not_mate(tmp_path):
    tail = TAIL_1.replace("nipple,no,nipple,EU pin", "nipple,no,nipple,SF pin")
    (one,) = found(tmp_path, files_1(), **{"bypass.csv": tail})
    assert "bypass.csv, row 4, id: SF pin does not go into EU box of P24" in str(one)
    toml = JOB_1.replace('lower_end = "EU pin"', 'lower_end = "SF pin"')
    texts = [str(one) for one in found(tmp_path, files_1(), **{"job.toml": toml})]
    assert any("SF pin of the base does not go into EU box" in t for t in texts)


def test_the_direction_of_a_table_is_checked_by_its_ends(tmp_path):
    toml = JOB_1.replace('esp = "bottom to top"', 'esp = "top to bottom"')
    texts = [str(one) for one in found(tmp_path, files_1(), **{"job.toml": toml})]
    assert any(
        "order.esp: the lowest ESP piece is a discharge pup and the highest a guide" in t
        for t in texts
    )
    toml = JOB_1.replace('bypass = "bottom to top"', 'bypass = "top to bottom"')
    texts = [str(one) for one in found(tmp_path, files_1(), **{"job.toml": toml})]
    assert any("order.bypass: the entry guide is piece 8 from the bottom" in t for t in texts)


def test_a_pump_below_the_motor_and_a_hanger_below_the_packer(tmp_path):
    lines = ESP_1.splitlines()
    lines[3], lines[6] = lines[6], lines[3]
    esp = "\n".join(line.rpartition(",")[0] for line in lines) + "\n"
    upper = "id,name,kind,length [ft]\nH,hanger,hanger,2\nPK,packer,packer,9\n"
    texts = [str(one) for one in found(tmp_path, files_1(), **{"esp.csv": esp, "upper.csv": upper})]
    assert any("a pump stands below the motor" in t for t in texts)
    assert any("the hanger is not the highest item" in t for t in texts)


@pytest.mark.parametrize(
    ("old", "new", "row"),
    [
        pytest.param(",41.46\n", ",41.64\n", 5, id="a wrong sum"),
        pytest.param("protector,11.36", "protector,11.63", 5, id="a wrong length"),
        pytest.param("gauge,gauge,gauge,2.06,4.50,4.50,92,,,flange,8 x 3/8 in,,2.68\n", "", 3,
                     id="a missing row"),
    ],
)  # fmt: skip
def test_running_lengths_point_at_the_row_from_which_they_are_off(tmp_path, old, new, row):
    esp = ESP_1.replace(old, new)
    assert esp != ESP_1
    (one,) = found(tmp_path, files_1(), **{"esp.csv": esp})
    assert (one.where.file, one.where.row, one.where.field) == ("esp.csv", row, "cumulative")


def test_running_lengths_from_the_other_end_turn_the_order(tmp_path):
    lengths = [float(line.split(",")[3]) for line in ESP_1.splitlines()[1:]]
    lines = ESP_1.splitlines()
    for n in range(1, len(lines)):
        lines[n] = f"{lines[n].rpartition(',')[0]},{sum(lengths[n - 1 :]):.2f}"
    (one,) = found(tmp_path, files_1(), **{"esp.csv": "\n".join(lines) + "\n"})
    assert "count from the other end" in str(one)


def test_running_lengths_of_the_rack(tmp_path):
    values = {"B01": "31.42", "B02": "62.78", "B03": "93.86"}
    (one,) = found(tmp_path, files_1(), **with_column("cumulative [ft]", values))
    assert one.where.piece == "B03"
    values["B03"] = "93.96"
    assert not found(tmp_path, files_1(), **with_column("cumulative [ft]", values))


SIZES = {
    "swapped": ("esp.csv", "0.62,3.50,4.50", "0.62,4.50,3.50", "is below that of the body"),
    "neck": ("esp.csv", "0.48,4.10", "0.48,6.10", "neck is thicker than the body"),
    "joint": ("job.toml", 'joint_od = "3.02 in"', 'joint_od = "2.02 in"', "smaller than body od"),
    "drift": ("job.toml", 'drift = "2.347 in"', 'drift = "2.441 in"', "not larger than drift"),
    "brine": ("job.toml", '"8.6 ppg"', '"8.6 SG"', "no density of a well fluid"),
    "casing drift": ("casing.csv", "8.681,8.525", "8.681,8.681", "is the inside diameter itself"),
    "casing weight": ("casing.csv", "47 lb/ft L80", "53.5 lb/ft L80", "Check weight and size"),
    "pounds": ("rack.csv", "31,31.42,204", "31,31.42,204 kg",
               "Pounds may stand for kilograms: 204 lb would fit"),
    "kilograms": ("rack.csv", "31,31.42,204", "31,31.42,93",
                  "Kilograms may stand for pounds: 93 kg would fit"),
    "torque order": ("threads.csv", "1300,1450,1600", "1300,1650,1600", "do not rise"),
    "torque unit": ("threads.csv", "1300,1450,1600", "1.3,1.45,1.6", "no make-up torque"),
}  # fmt: skip


@pytest.mark.parametrize(("file", "old", "new", "said"), SIZES.values(), ids=SIZES.keys())
def test_sizes_masses_and_units_that_do_not_go_together(tmp_path, file, old, new, said):
    files = files_1()
    assert old in files[file]
    texts = [str(one) for one in found(tmp_path, files, **{file: files[file].replace(old, new, 1)})]
    assert any(said in text for text in texts), texts


def test_lengths_in_the_message_are_in_the_units_of_the_job(tmp_path):
    (one,) = found(tmp_path, files_1(), **rack("15,15.04,", "15,15.36,"))
    assert "15.36 ft" in one.message
