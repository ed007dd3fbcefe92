"""How long the printed pattern takes: under 10 s for 40 pages, under 2 s for a supply list."""

from io import BytesIO

from printed import pattern_of
from pypdf import PdfReader

from kit.output.document.document import set_document
from kit.output.document.supply_list import write_supply_list
from kit.output.proof.proof import prove


def test_set_the_pattern_of_a_wall_quilt(benchmark):
    pattern = pattern_of("millwheel")
    assert len(benchmark(set_document, pattern)) > 50_000


def test_set_forty_pages_and_more(benchmark):
    pattern = pattern_of("gull-point")
    data = benchmark.pedantic(set_document, (pattern,), {"edition": "large print"}, rounds=3)
    assert len(PdfReader(BytesIO(data)).pages) >= 40


def test_set_a_pattern_of_many_patches(benchmark):
    pattern = pattern_of("saltmarsh")
    assert len(pattern.patchwork.patches) > 900
    assert len(benchmark.pedantic(set_document, (pattern,), rounds=3)) > 50_000


def test_write_a_supply_list(benchmark, tmp_path):
    pattern = pattern_of("millwheel")
    assert benchmark(write_supply_list, pattern, tmp_path / "list.pdf").exists()


def test_prove_a_table_runner(benchmark):
    pattern = pattern_of("tideline")
    assert all(line.passed for line in benchmark(prove, pattern))
