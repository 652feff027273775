"""Faults put into the code on purpose, one at a time, in a copy: each must make the checks fail.

Run by hand, not by the checking command: `.made/venv/bin/python tests/mutations.py [words of a fault's name]`.
It prints a line a fault and exits with 1 if one was not noticed.
"""

from __future__ import annotations

import os
import shutil
import subprocess
import sys
import tempfile
from dataclasses import dataclass
from pathlib import Path

ROOT = Path(__file__).resolve().parent.parent
NUMBERS = ("tests/mechanics", "tests/bench", "tests/widgets", "tests/record", "tests/figures")
PAGE = ("tests/browser/test_same_numbers.py",)
TABS = ("tests/browser_modules/test_two_tabs.py",)
NODE = ("tests/browser_modules/test_under_node.py",)
WORKER = ("tests/runtime/test_worker.py", "-k", "kept_damaged")
MEMORY = ("tests/runtime/test_memory.py",)
PRACTICE = (
    *("tests/bench/test_practice.py", "tests/bench/test_practice_task.py", "tests/bench/test_practice_bow.py"),
    "tests/test_draws.py",
    *("tests/widgets/test_practice.py", "tests/widgets/test_lessons.py"),
)
RACK = ("tests/widgets/test_rack.py",)
TOUCH = ("tests/browser/test_touch.py", "-k", "pocket or not any_slider")


@dataclass(frozen=True)
class Fault:
    """One fault: the file, what stands there, what is put in its place, and the tests that should notice."""

    name: str
    file: str
    before: str
    after: str
    tests: tuple[str, ...] = NUMBERS


CALC = "calc/quarterturn"
FAULTS = (
    Fault(
        "coverage grows as the bolt goes out",
        f"{CALC}/mechanics/pocket.py",
        "return pocket.coverage_at_flush - lost",
        "return pocket.coverage_at_flush + lost",
    ),
    Fault(
        "head height forgets the pitch at the back surface",
        f"{CALC}/mechanics/pocket.py",
        "lever = pocket.fulcrum_arm - x\n    return",
        "lever = pocket.fulcrum_arm + x\n    return",
    ),
    Fault(
        "the strip's interval at first touch is dropped",
        f"{CALC}/bench/window.py",
        "return self.at + self.interval if self.end is End.INNER else self.at - self.interval",
        "return self.at + self.interval if self.end is End.INNER else self.at",
    ),
    Fault(
        "the margin is dropped",
        f"{CALC}/bench/window.py",
        "reserve = self.margin + self.budget.expanded",
        "reserve = self.budget.expanded",
    ),
    Fault(
        "a linearised outcome takes every limb for the one linearised about",
        f"{CALC}/mechanics/limb.py",
        "return (limb.length, limb.taper",
        "return True or (limb.length, limb.taper",
        ("tests/bench/test_bow_uncertainty.py", "tests/bench/test_bow_fit.py"),
    ),
    Fault(
        "a linearised outcome forgets that a stiffer limb pulls harder",
        f"{CALC}/mechanics/linearisation.py",
        "state = t1 * times[0], q1, t2 * times[1], q2, x, y",
        "state = t1, q1, t2, q2, x, y",
        ("tests/bench/test_bow_uncertainty.py", "tests/bench/test_bow_fit.py"),
    ),
    Fault(
        "a linearised outcome is what was found before it",
        f"{CALC}/mechanics/linearisation.py",
        "setup, x + xt * by + xq * turned, d + dt * by + dq * turned, p + pt * by + pq * turned",
        "setup, x, d, p",
        ("tests/bench/test_bow_uncertainty.py", "tests/bench/test_bow_fit.py"),
    ),
    Fault("U is u", f"{CALC}/bench/uncertainty.py", "COVERAGE_FACTOR = 2.0", "COVERAGE_FACTOR = 1.0"),
    Fault("rectangular over two", f"{CALC}/bench/uncertainty.py", "half_width / math.sqrt(3)", "half_width / 2"),
    Fault(
        "the laxest limit wins",
        f"{CALC}/bench/window.py",
        "return (limit.usable > other.usable) == (end is End.INNER)",
        "return (limit.usable < other.usable) == (end is End.INNER)",
    ),
    Fault(
        "flush from inside is taken as the limit",
        f"{CALC}/bench/window.py",
        'interval = feel.flush_inside if bolt.way == "inside" else 0.0',
        "interval = 0.0",
    ),
    Fault(
        "aluminium is taken as steel",
        f"{CALC}/bench/engagement.py",
        '"aluminium": 2.0, "unknown": 2.0',
        '"aluminium": 1.0, "unknown": 1.0',
    ),
    Fault(
        "the rim's lever is the butt end's",
        f"{CALC}/mechanics/bolt_load.py",
        "lever = pocket.fulcrum_arm - place",
        "lever = pocket.fulcrum_arm + abs(place)",
    ),
    Fault(
        "bending without its place",
        f"{CALC}/mechanics/bolt_load.py",
        "place, along * place, angle)",
        "place, along * abs(place), angle)",
    ),
    Fault(
        "unified stress area by the metric factor",
        f"{CALC}/mechanics/thread_profile.py",
        "return self.diameter - 1.125 * self.triangle_height",
        "return self.diameter - 13 / 12 * self.triangle_height",
    ),
    Fault(
        "a thread longer than the bush holds",
        f"{CALC}/mechanics/thread_strength.py",
        "return left if bush is None else min(bush, left)",
        "return left",
    ),
    Fault(
        "the lower bolt carries what the upper limb's string pulls",
        f"{CALC}/widgets/loads/string_pull.py",
        'return self.drawn.upper if self.limb == "upper" else self.drawn.lower',
        "return self.drawn.upper",
    ),
    Fault(
        "the string's angle is counted from the riser, not from the draw",
        f"{CALC}/widgets/loads/string_pull.py",
        "self.half.string_angle + up * self.drawn.angle",
        "self.half.string_angle",
    ),
    Fault(
        "the moment's doubt is told once, not twice",
        f"{CALC}/widgets/loads/pull_values.py",
        "found.budget.expanded",
        "found.budget.combined",
    ),
    Fault(
        "the AMO draw length is taken as from the pivot",
        f"{CALC}/bench/draw_length.py",
        "AMO = 1.75 * INCH",
        "AMO = 0.0",
    ),
    Fault(
        "lengths become turns by the example's pitch",
        f"{CALC}/bench/engagement.py",
        'for name in ("thread_diameter", "rise")',
        'for name in ("thread_diameter",)',
    ),
    Fault(
        "a bush shorter than a diameter will do",
        f"{CALC}/bench/engagement.py",
        "bush < diameter:",
        "bush < 0:",
    ),
    Fault("an inch of 25 mm", f"{CALC}/units.py", "INCH = 0.0254", "INCH = 0.025"),
    Fault("steps of a whole turn", f"{CALC}/bench/moves.py", "LARGEST = 0.5", "LARGEST = 1.0"),
    Fault(
        "in is called out",
        f"{CALC}/widgets/words.py",
        'way = "out" if value > 0 else "in"',
        'way = "out" if value < 0 else "in"',
    ),
    Fault(
        "a cracked limb is only a question",
        f"{CALC}/bench/inspection.py",
        '("check_limbs", "fault"): (\n        InspectionOutcome.STOP,',
        '("check_limbs", "fault"): (\n        InspectionOutcome.ASK,',
    ),
    Fault(
        "a default passes for a reading",
        f"{CALC}/widgets/safe_range/ranges.py",
        "return bool(self.missing)",
        "return False",
    ),
    Fault(
        "the margin may be nothing",
        f"{CALC}/record/fields/strip_and_margins.py",
        "limits=(\n            0.25,",
        "limits=(\n            0.0,",
    ),
    Fault(
        "text is not escaped",
        f"{CALC}/markup.py",
        'ord("<"): "&lt;"',
        'ord("<"): "<"',
    ),
    Fault(
        "the worker answers nothing",
        "build_scripts/browser/worker.js",
        "postMessage({ id, answer: askPython(ask) });",
        'postMessage({ id, answer: "{}" });',
        PAGE,
    ),
    Fault(
        "the wasm is cut off in the site",
        "build_scripts/site_hooks.py",
        'shutil.copytree(built, site / "runtime" / built.name, dirs_exist_ok=True)',
        'shutil.copytree(built, site / "runtime" / built.name, dirs_exist_ok=True)\n'
        '    wasm = site / "runtime" / built.name / "pyodide.asm.wasm"\n'
        "    wasm.write_bytes(wasm.read_bytes()[:-1000])",
        PAGE,
    ),
    Fault(
        "a byte of the package is wrong in the site",
        "build_scripts/site_hooks.py",
        'shutil.copytree(built, site / "runtime" / built.name, dirs_exist_ok=True)',
        'shutil.copytree(built, site / "runtime" / built.name, dirs_exist_ok=True)\n'
        '    package = site / "runtime" / built.name / "quarterturn.packed"\n'
        "    data = bytearray(package.read_bytes())\n"
        "    data[len(data) // 2] ^= 1\n"
        "    package.write_bytes(data)",
        PAGE,
    ),
    Fault(
        "a damaged copy is asked for anew where it is kept",
        "build_scripts/browser/worker.js",
        'whole(await request(file.name, { cache: "reload" }), file);',
        "whole(await request(file.name), file);",
        WORKER,
    ),
    Fault(
        "the kept memory is copied when questions have been asked",
        "build_scripts/browser/memory.js",
        "if (copy) this.#taken = { copy, zips, trial };",
        "if (copy) this.#taken = { get copy() { return pyodide.makeMemorySnapshot(); }, zips, trial };",
        MEMORY,
    ),
    Fault(
        "the kept memory's sums are not looked at",
        "build_scripts/browser/memory.js",
        "sumOf(part) !== parts[index].sum",
        "sumOf(part) === undefined",
        MEMORY,
    ),
    Fault(
        "a kept memory is anybody's",
        "build_scripts/browser/memory.js",
        "about.agent !== navigator.userAgent",
        "about.agent === undefined",
        MEMORY,
    ),
    Fault(
        "a kept memory that failed is tried again",
        "build_scripts/browser/memory.js",
        "this.#unfit = about.unfit === true;",
        "this.#unfit = false;",
        MEMORY,
    ),
    Fault(
        "a memory is kept in whatever room there is",
        "build_scripts/browser/memory.js",
        "if (quota - usage < ROOM * length) return;",
        "if (quota < usage) return;",
        MEMORY,
    ),
    Fault(
        "the policy permits eval",
        "build_scripts/policy.py",
        "'wasm-unsafe-eval'",
        "'wasm-unsafe-eval' 'unsafe-eval'",
        ("tests/site",),
    ),
    Fault(
        "the strip has no thickness where it goes in",
        f"{CALC}/mechanics/feeler.py",
        "min(overlap, (gap - strip) / closing)",
        "min(overlap, gap / closing)",
        ("tests/widgets/test_pocket_explorer.py",),
    ),
    Fault(
        "the lever is taken for the arm",
        f"{CALC}/bench/lever.py",
        "found - min(cover, rim_reach)",
        "found",
        ("tests/bench/test_lever.py",),
    ),
    Fault(
        "a crack at the root of the slot is only a question",
        f"{CALC}/bench/inspection.py",
        '("slot_root", "fault"): (InspectionOutcome.STOP,',
        '("slot_root", "fault"): (InspectionOutcome.ASK,',
        ("tests/bench/test_inspection_list.py",),
    ),
    Fault(
        "a short question is answered by an area that was not looked at",
        f"{CALC}/bench/inspection.py",
        "return bool(items) and all(values.entered(item.name) for item in items)",
        "return True",
        ("tests/bench/test_inspection_list.py",),
    ),
    Fault(
        "both readings of flush are taken apart, not together",
        f"{CALC}/bench/strip_resolution.py",
        "else self.outside + self.inside",
        "else self.outside - self.inside",
        ("tests/bench/test_strip_resolution.py",),
    ),
    Fault(
        "what a dimension matters has its sign turned",
        f"{CALC}/bench/strip_resolution.py",
        "else found - base",
        "else base - found",
        ("tests/bench/test_strip_resolution.py",),
    ),
    Fault(
        "one page passes by what is known of the bow",
        f"{CALC}/widgets/frame.py",
        "    if level is not None and level > Level.OPEN:\n        return _halted",
        '    if level is not None and level > Level.OPEN and widget.name != "log":\n        return _halted',
        ("tests/widgets/test_matrix.py",),
    ),
    Fault(
        "one page has its steps while something is open",
        f"{CALC}/widgets/frame.py",
        "return _without(parts, widget.steps)",
        "return parts",
        ("tests/widgets",),
    ),
    Fault(
        "a stop tells in for out near the inner end",
        f"{CALC}/widgets/judgement_wording.py",
        'way = "out" if bolt.at < bolt.window.inner.usable else "in"',
        'way = "out" if bolt.at < bolt.window.inner.usable - 1 else "in"',
        ("tests/widgets/test_safe_range.py",),
    ),
    Fault(
        "a stop tells out for in near the inner end of a narrow window",
        f"{CALC}/widgets/judgement_wording.py",
        'way = "out" if bolt.at < bolt.window.inner.usable else "in"',
        'way = "out" if bolt.at < bolt.window.inner.usable + 1 else "in"',
        ("tests/widgets/test_safe_range.py",),
    ),
    Fault(
        "the headline's quarters are rounded outward",
        f"{CALC}/widgets/words.py",
        "first = math.ceil(rounded(window.inner.usable * 4) - 1e-9) / 4",
        "first = math.floor(rounded(window.inner.usable * 4) - 1e-9) / 4",
        ("tests/widgets/test_safe_range.py",),
    ),
    Fault(
        "a bolt waits for the other one's readings",
        f"{CALC}/bench/judgement.py",
        "known = [(bolt, bolt.window) for bolt in found.bolts if bolt.known and bolt.window is not None]",
        "known = [(bolt, bolt.window) for bolt in found.bolts if not found.missing and bolt.window is not None]",
        ("tests/bench/test_judgement.py",),
    ),
    Fault(
        "an event is settled without a day",
        f"{CALC}/bench/events.py",
        "if not self.found or self.found_on is None:",
        "if not self.found:",
        ("tests/bench/test_judgement.py",),
    ),
    Fault(
        "what was found settles readings that came after it",
        f"{CALC}/bench/alarms.py",
        "if not one.agrees and one.reading.day > latest",
        "if not one.agrees and not latest",
        ("tests/bench/test_judgement.py",),
    ),
    Fault(
        "a reading is settled by the next, wherever the bolts are",
        f"{CALC}/bench/alarms.py",
        "        if not _alike(later, one.reading):\n            return False\n",
        "",
        ("tests/bench/test_judgement.py",),
    ),
    Fault(
        "a place in the log without a day is overlooked",
        f"{CALC}/bench/positions.py",
        "if any(cells[at] is not None for at in places):",
        "if False:",
        ("tests/bench/test_positions.py",),
    ),
    Fault(
        "a link leaves out the row that leaves places open",
        f"{CALC}/record/link.py",
        "*((misleading,) if misleading is not None else ())",
        "*()",
        ("tests/record/test_links.py",),
    ),
    Fault(
        "a link leaves an open alarm at home",
        f"{CALC}/bench/judgement.py",
        "return values.record if found is None else noted(",
        "return values.record if True else noted(",
        ("tests/widgets/test_worker_interface.py",),
    ),
    Fault(
        "someone else's inspection counts as one's own",
        f"{CALC}/bench/inspection.py",
        "    if not found.own:\n        return Due.OTHER\n",
        "",
        ("tests/bench/test_judgement.py",),
    ),
    Fault(
        "marks count without a day",
        f"{CALC}/bench/judgement.py",
        'if answer == "right" and seen is not None and seen >= changed:',
        'if answer == "right":',
        ("tests/bench/test_judgement.py",),
    ),
    Fault(
        "an empty wish follows the readings",
        f"{CALC}/widgets/planned_change.py",
        "start = course if weight is None and tiller is None else _when_planned(values, course)",
        "start = course",
        ("tests/widgets/test_plan.py", "tests/widgets/test_carry_out.py"),
    ),
    Fault(
        "a number in the words is not held against the package",
        "build_scripts/live_words.py",
        "if text != told:",
        "if not text:",
        ("tests/site/test_live_words.py",),
    ),
    Fault(
        "bow: the end of a draw is found as loosely as its way",
        f"{CALC}/mechanics/continuation.py",
        "tolerance = TOLERANCE if last else PASSING_TOLERANCE",
        "tolerance = PASSING_TOLERANCE",
        ("tests/mechanics",),
    ),
    Fault(
        "bow: the AMO draw length is the pivot point's",
        f"{CALC}/bench/draw_length.py",
        "AMO = 1.75 * INCH",
        "AMO = 0.0 * INCH",
        ("tests/bench/test_draw_length.py", "tests/mechanics"),
    ),
    Fault(
        "plan: the worth of a pound is forgotten",
        f"{CALC}/bench/plan.py",
        "math.hypot((weight - self.weight) * self.worth, tiller - self.tiller)",
        "math.hypot((weight - self.weight) * 0.002 / 4.448, tiller - self.tiller)",
        ("tests/bench/test_plan.py",),
    ),
    Fault(
        "plan: a step of a whole turn",
        f"{CALC}/bench/way.py",
        "LARGEST_STEP = 0.5",
        "LARGEST_STEP = 1.0",
        ("tests/bench/test_way.py", "tests/widgets/test_plan.py"),
    ),
    Fault(
        "way: after the last step it is not weighed",
        f"{CALC}/bench/way.py",
        "return WeighReason.LAST if last else WeighReason.NOT",
        "return WeighReason.NOT",
        ("tests/bench/test_way.py",),
    ),
    Fault(
        "way: a weight is told from the step before, weighed or not",
        f"{CALC}/bench/way.py",
        "here, weighed = there, weighed if weighing is WeighReason.NOT else there",
        "here, weighed = there, there",
        ("tests/bench/test_way.py",),
    ),
    Fault(
        "way: the other bolt's quarters are turned as soon as can be",
        f"{CALC}/bench/way.py",
        "return one.told, one.quarters",
        "return 0, one.quarters",
        ("tests/bench/test_way.py",),
    ),
    Fault(
        "plan: it ends anywhere, half way too",
        f"{CALC}/bench/plan.py",
        " or not _led_here(bow, course, wish):",
        ":",
        ("tests/bench/test_plan.py",),
    ),
    Fault(
        "plan: it ends where it led, whatever was read there",
        f"{CALC}/bench/plan.py",
        " or _could_be_told(course, plan) or not",
        " or not",
        ("tests/bench/test_plan.py",),
    ),
    Fault(
        "a step after which only the weight was read counts as measured",
        f"{CALC}/widgets/carry_out/progress.py",
        "(nothing or not any(_is_read(shown, what) for what in TAPE))",
        "nothing",
        ("tests/widgets/test_carry_out.py",),
    ),
    Fault(
        "bow: a correction across the place where the string comes off is the last",
        f"{CALC}/mechanics/equilibrium.py",
        "(correction < tolerance and not _contact_changed(limbs, state))",
        "correction < tolerance",
        ("tests/mechanics/test_bow_reuse.py",),
    ),
    Fault(
        "bow: another limb is taken for the one the search began with",
        f"{CALC}/mechanics/equilibrium.py",
        "known = known and same_but_for_stiffness(limb, bent.limb)",
        "pass",
        ("tests/mechanics/test_bow_reuse.py",),
    ),
    Fault(
        "bow: other steps are taken for the same",
        f"{CALC}/mechanics/equilibrium.py",
        "known = known and bent.steps == steps",
        "pass",
        ("tests/mechanics/test_bow_reuse.py",),
    ),
    Fault(
        "limb: the shape is that of the state before the last",
        f"{CALC}/mechanics/limb.py",
        "by, turned = tension - self.tension, tip - self.tip",
        "by, turned = 0.0, 0.0",
        ("tests/mechanics/test_bow_reuse.py",),
    ),
    Fault(
        "plan: the estimate is told by its corners alone",
        f"{CALC}/bench/estimate.py",
        "+ hermite_bulge(share, last - first, leaving, coming)",
        "+ 0 * hermite_bulge(share, last - first, leaving, coming)",
        ("tests/bench/test_estimate.py",),
    ),
    Fault(
        "plan: how far the estimate is off is seen in the middle only",
        f"{CALC}/bench/plan.py",
        "PROBES = ((1 / 3, 1 / 3), (2 / 3, 2 / 3), (1 / 2, 0.0), (0.0, 1 / 2))",
        "PROBES = ((1 / 2, 1 / 2),)",
        ("tests/bench/test_plan.py",),
    ),
    Fault(
        "plan: what rocking does is that of the other limb",
        f"{CALC}/bench/outcomes.py",
        "return by((ROCKED, 0.0)), by((0.0, ROCKED))",
        "return by((0.0, ROCKED)), by((ROCKED, 0.0))",
        ("tests/bench/test_estimate.py",),
    ),
    Fault(
        "plan: the estimate is trusted as it is",
        f"{CALC}/bench/plan.py",
        "reserve = TWICE * math.hypot(error.weight * look.wish.worth, error.tiller) + ALIKE",
        "reserve = -1.0",
        ("tests/bench/test_plan.py",),
    ),
    Fault(
        "bow: what each limb has of its own is forgotten",
        f"{CALC}/bench/bow_numbers.py",
        'half, "alike") for name, half in INDIVIDUAL.items()',
        'half, "alike") for name, half in {}.items()',
        ("tests/bench/test_coverage.py", "tests/bench/test_bow_uncertainty.py"),
    ),
    Fault(
        "bow: what one limb has of its own counts for both",
        f"{CALC}/bench/bow_numbers.py",
        "if self.name in INDIVIDUAL else (self.name,)",
        "if self.name in INDIVIDUAL else tuple("
        "f'{bolt}_{whose[1]}' for bolt in BOLTS) if (whose := individual(self.name)) else (self.name,)",
        ("tests/bench/test_coverage.py", "tests/bench/test_bow_uncertainty.py"),
    ),
    Fault(
        "bow: what one limb has of its own is put on the other",
        f"{CALC}/bench/bow_numbers.py",
        "return (BOLTS.index(bolt), kind) if",
        "return (1 - BOLTS.index(bolt), kind) if",
        ("tests/bench/test_bow_uncertainty.py",),
    ),
    Fault(
        "bow: a limb's own numbers are not in its shape",
        f"{CALC}/bench/bow_fit.py",
        "frame.inner_curvature + own.inner_curvature,",
        "frame.inner_curvature,",
        ("tests/bench/test_bow_uncertainty.py",),
    ),
    Fault(
        "bow: what does not go in proportion is left out",
        f"{CALC}/bench/bow_uncertainty.py",
        "return math.sqrt((1 - part) ** -2 - 1)",
        "return 0.0",
        ("tests/bench/test_bow_uncertainty.py",),
    ),
    Fault(
        "bow: how far the tried turn went is taken as exact",
        f"{CALC}/bench/bow_numbers.py",
        'found.append(Parameter("tried_turns", turned, count, _known(values, "tried_turns")))',
        "pass",
        ("tests/bench/test_bow_uncertainty.py",),
    ),
    Fault(
        "bow: every bow is near unloading a limb",
        f"{CALC}/bench/stability.py",
        "return braced.least_stiffness < EDGE * across",
        "return braced.least_stiffness < 1.2 * across",
        ("tests/bench/test_bow_fit.py", "tests/widgets/test_tiller.py"),
    ),
    Fault(
        "course: a reading widens what is known",
        f"{CALC}/bench/course.py",
        "left = posterior_covariance(covariance, told.known)\n            stands",
        "left = posterior_covariance(plus(covariance, (0.1 * covariance[0], 0.0, 0.1 * covariance[2])), told.known)\n"
        "            stands",
        ("tests/bench/test_course.py",),
    ),
    Fault(
        "course: the bolts are counted exactly",
        f"{CALC}/bench/course.py",
        "prior = self.prior(what) if self.counted_to else None",
        "prior = None",
        ("tests/bench/test_course.py",),
    ),
    Fault(
        "course: a reading's uncertainty counts once where there are two",
        f"{CALC}/bench/course.py",
        "COVERAGE * math.hypot(reading, reading, computed)",
        "COVERAGE * math.hypot(computed)",
        ("tests/bench/test_course.py", "tests/widgets/test_carry_out.py"),
    ),
    Fault(
        "after: spine goes with draw weight",
        f"{CALC}/bench/arrows.py",
        "return spine * before / after",
        "return spine * after / before",
        ("tests/bench/test_arrows.py",),
    ),
    Fault(
        "after: the log's turn the other way",
        f"{CALC}/widgets/after/inputs.py",
        "rounded((bolt.at or 0.0) - (bolt.counted or 0.0))",
        "rounded((bolt.counted or 0.0) - (bolt.at or 0.0))",
        ("tests/widgets/test_after.py",),
    ),
    Fault(
        "log: readings from before a turn hold after it",
        f"{CALC}/record/newest.py",
        "if name in setting_columns or set_in is None or at >= set_in",
        "if True",
        ("tests/record", "tests/bench/test_positions.py", "tests/widgets/test_card.py"),
    ),
    Fault(
        "link: a long log is carried whole",
        f"{CALC}/record/link.py",
        "return whole if short == whole or len(_encode(whole)) <= room else short",
        "return whole",
        ("tests/record/test_links.py",),
    ),
    Fault(
        "link: of a list only a row where it says its own link",
        "docs/assets/browser/link.js",
        "if (!this.session.hasLists(record)) return true;",
        "return true;",
        NODE,
    ),
    Fault(
        "touch: a slider enters at the first touch",
        "docs/assets/browser/touch.js",
        "if (!this.gesture.isPending && !this.gesture.isCancelled) return;",
        "return;",
        TOUCH,
    ),
    Fault(
        "touch: a slider does not go back after a swipe",
        "docs/assets/browser/touch.js",
        "if (this.gesture.isCancelled) this.slider.value = this.before;\n  }\n\n  /**\n   * The slider's own",
        "}\n\n  /**\n   * The slider's own",
        TOUCH,
    ),
    Fault(
        "touch: a chart is turned at the first touch",
        "docs/assets/browser/drag.js",
        "else if (isTouch(event)) held.gesture = new Gesture(event);",
        "",
        TOUCH,
    ),
    Fault(
        "touch: two fingers enter what one would",
        "docs/assets/browser/touch.js",
        "else cancelAll();",
        "",
        TOUCH,
    ),
    Fault(
        "a tried turn moves no number",
        f"{CALC}/bench/tried_turn.py",
        "return -self.shares.get(name, 0.0) / 3 / self.variance if",
        "return 0.0 if",
        ("tests/bench/test_tried_turn.py",),
    ),
    Fault(
        "a tried turn leaves every number as unsure as it was",
        f"{CALC}/bench/tried_turn.py",
        "one + self.shares.get(name, 0.0) * by for",
        "one for",
        ("tests/bench/test_tried_turn.py",),
    ),
    Fault(
        "a tried turn that nothing explains is used",
        f"{CALC}/bench/tried_turn.py",
        "if not count and abs(off) > most:",
        "if False:",
        ("tests/bench/test_bow_inputs.py",),
    ),
    Fault(
        "a tried turn moves what was measured",
        f"{CALC}/bench/tried_turn.py",
        'if each.known != "measured" and each.name not in HELD',
        "if each.name not in HELD",
        ("tests/bench/test_tried_turn.py",),
    ),
    Fault(
        "what settles a matter stands below all else",
        f"{CALC}/widgets/frame.py",
        "first = _leading(parts) if ways_out else len(parts)",
        "first = len(parts)",
        ("tests/widgets",),
    ),
    Fault(
        "good news is told under what speaks against it",
        f"{CALC}/widgets/frame.py",
        "and own.state is not State.GO else",
        "else",
        ("tests/widgets",),
    ),
    Fault(
        "tabs: a box tells again what it told before",
        "docs/assets/browser/form.js",
        "return !sameEntry(base, field.base) && changed",
        "return changed",
        TABS,
    ),
    Fault(
        "tabs: another bow is taken for the same one",
        "docs/assets/browser/stored_record.js",
        "return since(one) === since(other) && (",
        "return true || (",
        NODE,
    ),
    Fault(
        "tabs: what is typed for a bow goes to the one on the bench",
        "docs/assets/browser/session.js",
        "if (!this.linked && this.stale?.has(name)) return",
        "if (false) return",
        NODE,
    ),
    Fault(
        "tabs: a list that is being edited loses the other tab's rows",
        "docs/assets/browser/merge_rows.js",
        "merged.push(...came);",
        "",
        NODE,
    ),
    Fault(
        "tabs: a change of the view is written down",
        "docs/assets/browser/store.js",
        "if (entries.some(([name]) => this.isKept(name))) this.#save();",
        "this.#save();",
        NODE,
    ),
    Fault(
        "tabs: undo brings back an older state than the shelf has",
        "docs/assets/browser/session.js",
        "const later = isSame ? [] : this.#changedSince(bow, times);",
        "const later = [];",
        NODE,
    ),
    Fault(
        "bolt by bolt: a range is told while something is open",
        f"{CALC}/widgets/safe_range/ranges.py",
        "return self.has_own_range(bolt) and not self.waits",
        "return self.has_own_range(bolt)",
        ("tests/widgets/test_bolt_verdict.py",),
    ),
    Fault(
        "bolt by bolt: a range is told before the bow was looked over",
        f"{CALC}/widgets/safe_range/ranges.py",
        "return bolt.position.known and not self.waits_for_inspection",
        "return bolt.position.known",
        ("tests/widgets/test_bolt_verdict.py",),
    ),
    Fault(
        "bolt by bolt: turns of thread are told by the example's pitch",
        f"{CALC}/widgets/safe_range/tells.py",
        "if from_mark is None or readings.thread_diameter is None or not readings.pitch.measured:",
        "if from_mark is None or readings.thread_diameter is None:",
        ("tests/widgets/test_tells.py",),
    ),
    Fault(
        "bolt by bolt: the example's range turns the reader's bolt",
        f"{CALC}/widgets/safe_range/__init__.py",
        "if found.untouched or not found.example else []",
        "if True else []",
        ("tests/widgets/test_safe_range.py",),
    ),
    Fault(
        "from the mark: the way to the mark is forgotten",
        f"{CALC}/bench/engagement.py",
        "return Count(from_mark + to_mark.turns,",
        "return Count(from_mark,",
        ("tests/bench/test_engagement.py",),
    ),
    Fault(
        "from the mark: two counts are as sure as one",
        f"{CALC}/bench/engagement.py",
        'Contribution("count from zero to the mark", to_mark.budget.combined, 1.0, shape="as one count"),',
        "",
        ("tests/bench/test_engagement.py",),
    ),
    Fault(
        "a warning that is made later falls to the foot",
        f"{CALC}/widgets/explanation.py",
        "partial(_rounded_later, part, digits), warns=part.warns)",
        "partial(_rounded_later, part, digits))",
        ("tests/widgets/test_answer_parts.py", "-k", "nothing_else_does"),
    ),
    Fault(
        "a full log is offered one more row",
        f"{CALC}/widgets/carry_out/entry_offers.py",
        "or len(_rows(shown)) >= LOG.max_rows:",
        "or len(_rows(shown)) > LOG.max_rows:",
        ("tests/widgets/test_entry_offers.py",),
    ),
    Fault(
        "the farther prong's room is added to the strip",
        f"{CALC}/bench/practice.py",
        "return bolt.thickness(hand.strip) - _wider(bolt, hand.prong)",
        "return bolt.thickness(hand.strip) + _wider(bolt, hand.prong)",
        PRACTICE,
    ),
    Fault(
        "the head runs ahead of the key",
        f"{CALC}/bench/practice.py",
        "head = key - _lag(bolt, hand)",
        "head = key + _lag(bolt, hand)",
        PRACTICE,
    ),
    Fault(
        "a chosen range is held against first touch from the wrong side of zero",
        f"{CALC}/bench/practice.py",
        "bolt.touch - from_flush - outer",
        "bolt.touch + from_flush - outer",
        PRACTICE,
    ),
    Fault(
        "a limb let go hangs where it is pressed",
        f"{CALC}/mechanics/feeler.py",
        "    if rock_angle(pocket, turns) <= rest:\n        return strip_reach(pocket, turns, strip, side)\n",
        "    if rock_angle(pocket, turns) >= rest:\n        return strip_reach(pocket, turns, strip, side)\n",
        PRACTICE,
    ),
    Fault(
        "check digits by 97",
        f"{CALC}/bench/practice_task.py",
        "98 - int(digits) * 100 % 97",
        "97 - int(digits) * 100 % 97",
        PRACTICE,
    ),
    Fault(
        "the generator's next number is the one before",
        f"{CALC}/draws.py",
        "        self._state = MULTIPLIER * self._state % MODULUS\n        return self._state\n",
        "        before, self._state = self._state, MULTIPLIER * self._state % MODULUS\n        return before\n",
        PRACTICE,
    ),
    Fault(
        "the truth is shown before an answer",
        f"{CALC}/widgets/practice/__init__.py",
        "if shown.chosen and not shown.open:",
        "if not shown.open:",
        PRACTICE,
    ),
    Fault(
        "what was practised is listed with the bow's entries",
        f"{CALC}/widgets/safe_range/entry_tables.py",
        "field.name not in OF_NO_BOW",
        "field.name in OF_NO_BOW",
        PRACTICE,
    ),
    Fault(
        "the lessons of a task ask for the numbers of whatever bow is open",
        f"{CALC}/widgets/lesson_marks.py",
        "    if made_up is not None:\n        return Values(",
        "    if made_up is None:\n        return Values(",
        PRACTICE,
    ),
    Fault(
        "the made-up bow of a task is called open whatever is open",
        f"{CALC}/widgets/lesson_marks.py",
        "is_open = all(",
        "is_open = any(",
        PRACTICE,
    ),
    Fault(
        "neighbours have made-up bows that lie together",
        f"{CALC}/bench/practice_bow.py",
        "range(WARM_UP)",
        "range(1)",
        PRACTICE,
    ),
    Fault(
        "a link is kept by whoever only looks at it",
        "docs/assets/browser/link.js",
        "    this.session.look(record);\n",
        "    this.session.look(record);\n    if (!this.session.hasOwn) this.session.keep();\n",
        ("tests/browser_modules/test_under_node.py", "-k", "link"),
    ),
    Fault(
        "the next page of the tab forgets the link that is looked at",
        "docs/assets/browser/link.js",
        "carriesValues() ? null : remembered();",
        "carriesValues() ? null : null;",
        ("tests/browser_modules/test_under_node.py", "-k", "link"),
    ),
    Fault(
        "what is typed into a link's bow where there is no other is not kept",
        "docs/assets/browser/session.js",
        "    this.#adopt(name, entry);\n",
        "",
        ("tests/browser_modules/test_under_node.py", "-k", "link"),
    ),
    Fault(
        "a prediction that was changed once the answer was seen counts",
        f"{CALC}/widgets/lesson_marks.py",
        "return first_predictions(values).get(one.key) or values.choice(one.question)",
        "return values.choice(one.question)",
        PRACTICE,
    ),
    Fault(
        "the last prediction is kept as the first",
        f"{CALC}/widgets/lesson_marks.py",
        "if values.entered(one.question)} | kept",
        "if values.entered(one.question)}",
        PRACTICE,
    ),
    Fault(
        "a lesson's number is right whatever it is",
        f"{CALC}/widgets/lesson_marks.py",
        "if off <= right.within:",
        "if off >= right.within:",
        PRACTICE,
    ),
    Fault(
        "a lesson of a task is done without its prediction",
        f"{CALC}/widgets/lesson_marks.py",
        "bool(predicted) and finished,",
        "finished,",
        PRACTICE,
    ),
    Fault(
        "a press of the key before the answer is lost",
        "docs/assets/browser/page_form.js",
        "if (this.#early.length < MOST_EARLY) this.#early.push(pressed.id);",
        "if (this.#early.length < 0) this.#early.push(pressed.id);",
        ("tests/browser/test_practice.py", "-k", "press"),
    ),
    Fault(
        "a bow that is out of use is settled by any finding",
        f"{CALC}/bench/events.py",
        "if self.found != _SETTLED_BY.get(self.happened, self.found):",
        "if self.found != _SETTLED_BY.get(self.happened, self.found) and self.happened == SHIMS:",
        RACK,
    ),
    Fault(
        "a row tells the range of a bow that is outside of it",
        f"{CALC}/widgets/rack/rows.py",
        "shown = judgement.predicts and bolt.known and",
        "shown = bolt.known and",
        RACK,
    ),
    Fault(
        "a preset takes the place of what a bow says",
        f"{CALC}/bench/presets.py",
        "for name, entry in given.items() if name not in bow.entries}",
        "for name, entry in given.items()}",
        RACK,
    ),
    Fault(
        "a table hands a formula to a spreadsheet",
        f"{CALC}/widgets/rack/table_file.py",
        "if cell.startswith(_FORMULA) and not bare.isdecimal() else cell",
        "if cell.startswith(_FORMULA) and bare.isdecimal() else cell",
        RACK,
    ),
    Fault(
        "a tag writes a bow's name as markup",
        f"{CALC}/widgets/rack/prints.py",
        '<p class="qt-tag-name">{escape(name)}</p>',
        '<p class="qt-tag-name">{name}</p>',
        RACK,
    ),
    Fault(
        "the day by which a bow is looked over again is not its own",
        f"{CALC}/widgets/rack/rows.py",
        'judgement.values.number("inspection_months")',
        "12.0",
        RACK,
    ),
    Fault(
        "an answer of the service worker waits for the copy it keeps",
        "docs/sw.js",
        "  event.waitUntil(copied.catch(() => {}));\n  return fetched;",
        "  event.waitUntil(copied.catch(() => {}));\n  return copied.then(() => fetched);",
        ("tests/browser_modules/test_under_node.py", "-k", "service"),
    ),
)


def copy_of_the_tree(folder: Path) -> Path:
    """Copy what git knows, with the fetched Pyodide beside it so that no network is needed."""
    words = ["git", "ls-files", "-z", "--cached", "--others", "--exclude-standard"]
    listed = subprocess.run(words, cwd=ROOT, capture_output=True, check=True)
    tree = folder / "tree"
    for name in filter(None, listed.stdout.decode().split("\0")):
        source = ROOT / name
        if source.is_file():
            target = tree / name
            target.parent.mkdir(parents=True, exist_ok=True)
            shutil.copy2(source, target)
    for name in ("pyodide", "runtime", "cache"):
        if (ROOT / ".made" / name).exists():
            shutil.copytree(ROOT / ".made" / name, tree / ".made" / name)
    return tree


def noticed(fault: Fault, tree: Path) -> bool:
    """Put the fault in, run its tests, take it out again; tell whether a test failed."""
    path = tree / fault.file
    text = path.read_text(encoding="utf-8")
    if text.count(fault.before) != 1:
        raise SystemExit(f"{fault.name}: {fault.file} does not hold just one {fault.before!r}")
    path.write_text(text.replace(fault.before, fault.after), encoding="utf-8")
    try:
        done = subprocess.run(
            [sys.executable, "-m", "pytest", "-x", "-q", *fault.tests],
            cwd=tree,
            env={**os.environ, "PYTHONPATH": str(tree / "calc"), "PYTHONDONTWRITEBYTECODE": "1"},
            capture_output=True,
            timeout=900,
        )
    finally:
        path.write_text(text, encoding="utf-8")
    return done.returncode == 1


def main(words: list[str]) -> int:
    """Try every fault whose name holds all the words."""
    chosen = [fault for fault in FAULTS if all(word in fault.name for word in words)]
    missed = []
    with tempfile.TemporaryDirectory() as folder:
        tree = copy_of_the_tree(Path(folder))
        for fault in chosen:
            found = noticed(fault, tree)
            print(f"{'noticed' if found else 'MISSED '}  {fault.name}", flush=True)
            if not found:
                missed.append(fault.name)
    print(f"{len(chosen) - len(missed)} of {len(chosen)} faults noticed")
    return 1 if missed else 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
