"""Standard threads against sources.md C (pitch diameters, S2) and model.md 6; other rows against the standards (M)."""

import math
from collections.abc import Callable

import pytest

from quarterturn.mechanics import threads
from quarterturn.mechanics.threads import THREADS, ThreadError, ThreadSeries

INCH = 25.4

# sources.md C: designation, nominal diameter, pitch diameter as printed, size of a unit in mm, half of the last digit
PITCH_DIAMETERS = [  # S2
    ("1/4-28", 0.25, 0.2268, INCH, 0.00005),
    ("5/16-24", 0.3125, 0.2854, INCH, 0.00005),
    ("3/8-16", 0.375, 0.3344, INCH, 0.00005),
    ("3/8-24", 0.375, 0.3479, INCH, 0.00005),
    ("M6×1", 6, 5.350, 1, 0.0005),
    ("M8×1.25", 8, 7.188, 1, 0.0005),
    ("M8×1", 8, 7.350, 1, 0.0005),
    ("M10×1.5", 10, 9.026, 1, 0.0005),
    ("M10×1", 10, 9.350, 1, 0.0005),
    ("M10×1.25", 10, 9.188, 1, 0.0005),
]


@pytest.mark.parametrize(("name", "diameter", "printed", "size", "half"), PITCH_DIAMETERS)
def test_pitch_diameter(name: str, diameter: float, printed: float, size: float, half: float) -> None:
    # ISO 68-1 (sources.md C): d2 = d − 3H/4, H = √3/2·P
    thread = threads.thread_named(name)
    assert thread.diameter == pytest.approx(diameter * size / 1000, rel=1e-12)
    found = (thread.diameter - 0.75 * math.sqrt(3) / 2 * thread.pitch) * 1000 / size
    assert abs(found - printed) <= 1.01 * half


# sources.md C: stress areas, mm² and in² as printed (S2); ISO 898-1: π/4(d − 0.9382P)², ASME B1.1: π/4(D − 0.9743/n)²
STRESS_AREAS = [
    ("1/4-28", 0.0364, 0.9743, INCH, 0.00005),
    ("3/8-16", 0.0775, 0.9743, INCH, 0.00005),
    ("3/8-24", 0.0878, 0.9743, INCH, 0.00005),
    ("M6×1", 20.1, 0.9382, 1, 0.05),
    ("M8×1.25", 36.6, 0.9382, 1, 0.05),
    ("M8×1", 39.2, 0.9382, 1, 0.05),
    ("M10×1.5", 58.0, 0.9382, 1, 0.05),
    ("M10×1", 64.5, 0.9382, 1, 0.05),
    ("M10×1.25", 61.2, 0.9382, 1, 0.05),
]


@pytest.mark.parametrize(("name", "printed", "factor", "size", "half"), STRESS_AREAS)
def test_stress_area(name: str, printed: float, factor: float, size: float, half: float) -> None:
    thread = threads.thread_named(name)
    found = math.pi / 4 * ((thread.diameter - factor * thread.pitch) * 1000 / size) ** 2
    assert abs(found - printed) <= 1.01 * half


# ISO 261 and ASME B1.1 from memory (M; to be confirmed against the standards)
REMEMBERED = [
    ("M5×0.8", 5, 0.8),
    ("M7×1", 7, 1),
    ("M12×1.75", 12, 1.75),
    ("M12×1.5", 12, 1.5),
    ("No. 10-24", 4.826, INCH / 24),
    ("No. 10-32", 4.826, INCH / 32),
    ("1/4-20", 6.35, 1.27),
    ("5/16-18", 7.9375, INCH / 18),
    ("7/16-14", 11.1125, INCH / 14),
    ("7/16-20", 11.1125, 1.27),
    ("1/2-13", 12.7, INCH / 13),
    ("1/2-20", 12.7, 1.27),
]


@pytest.mark.parametrize(("name", "diameter", "pitch"), REMEMBERED)
def test_remembered_threads(name: str, diameter: float, pitch: float) -> None:
    thread = threads.thread_named(name)
    assert thread.diameter * 1000 == pytest.approx(diameter, rel=1e-12)
    assert thread.pitch * 1000 == pytest.approx(pitch, rel=1e-12)


def test_table_is_in_order_and_complete() -> None:
    names = [thread.designation for thread in THREADS]
    assert len(set(names)) == len(names)
    assert {thread.series for thread in THREADS} == set(ThreadSeries)
    for series in (ThreadSeries.UNC, ThreadSeries.UNF):  # six sizes in each, No. 10 to 1/2
        assert sum(thread.series is series for thread in THREADS) == 6
    for thread in THREADS:
        assert 0.0048 < thread.diameter < 0.0128
        assert 0.07 < thread.pitch / thread.diameter < 0.23


def test_pitch_from_four_turns() -> None:  # model.md 6: 4.23/4 = 1.058 mm
    pitch = threads.pitch_from_rise(4.23e-3, 4)
    assert round(pitch * 1000, 3) == 1.058
    best = threads.nearest_threads(pitch, 9.4e-3)[0]
    assert best.thread.designation == "3/8-24"
    assert best.relative_difference == pytest.approx(4.23 * 24 / (4 * 25.4) - 1, rel=1e-9)


def test_nearest_without_a_diameter_keeps_the_order_of_the_table() -> None:
    found = threads.nearest_threads(1e-3, count=5)
    assert [match.thread.designation for match in found[:5]] == ["M6×1", "M7×1", "M8×1", "M10×1", "M12×1"]
    assert {match.relative_difference for match in found} == {0.0}
    more = threads.nearest_threads(1.1e-3, count=len(THREADS))
    sizes = [abs(match.relative_difference) for match in more]
    assert sizes == sorted(sizes)
    assert len(more) == len(THREADS)


@pytest.mark.parametrize(
    ("diameter", "pitch", "best"),
    [
        (9.4, 1.5, "3/8-16"),
        (9.85, 1.5, "M10×1.5"),
        (7.85, 1.25, "M8×1.25"),
        (7.85, 1.06, "5/16-24"),
        (6.3, 0.9, "1/4-28"),
    ],
)
def test_nearest_with_a_measured_diameter(diameter: float, pitch: float, best: str) -> None:
    # crests a little under nominal: 3/8 in is 9.525 mm, 1/4 in 6.35 mm, 5/16 in 7.9375 mm (exact)
    assert threads.nearest_threads(pitch / 1000, diameter / 1000)[0].thread.designation == best


def test_no_thread_so_thick() -> None:
    assert threads.nearest_threads(1e-3, 0.03) == ()


@pytest.mark.parametrize("bad", [math.nan, math.inf, 0.0, -1e-3, 1e308])
def test_bad_input_is_refused_by_name(bad: float) -> None:
    questions: dict[str, Callable[[], object]] = {
        "pitch": lambda: threads.nearest_threads(bad),
        "diameter": lambda: threads.nearest_threads(1e-3, bad),
        "rise": lambda: threads.pitch_from_rise(bad, 4),
        "turns": lambda: threads.pitch_from_rise(4e-3, bad),
        "count": lambda: threads.nearest_threads(1e-3, count=bad),  # type: ignore[arg-type]
    }
    for name, ask in questions.items():
        with pytest.raises(ThreadError) as caught:
            ask()
        assert caught.value.parameter == name
    with pytest.raises(ThreadError):
        threads.thread_named("M99×9")
