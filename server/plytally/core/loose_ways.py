"""Loose ways: what tells a kind of entry or a question, wherever in the sentence it stands.

Each row is a cue in JSGF expansion syntax (`jsgf.py`, slots of `slots.py` included); " ... " stands for any
words between. The fields are looked for in the rest of the sentence, in whatever order (`loose.py`). None of
it is listened for by a grammar; it is for typed words, and for engines that hear freely.
"""

from __future__ import annotations

from dataclasses import dataclass

_DONE = "(done | finished | complete | over)"
_REMOVED = "(took | taken | pulled | stripped | ripped | removed | tore | got | popped)"


@dataclass(frozen=True)
class Way:
    """What makes an entry or question of this name: one of the `cues`, and all the fields of `needs`.

    `alone` tells that with nothing left over no field is needed.
    """

    name: str
    cues: tuple[str, ...]
    needs: tuple[str, ...] = ("part",)
    makes: str = "entry"
    alone: bool = False


_FOR_NOW = "for (the night | the day | today | now | tonight | the evening)"
_LAID_BY = (
    "(laid | laying | lay | put | added | applied | rolled | squeegeed | stuck | did | slapped | dropped)"
    " [up | on | out | down]"
)

DONE_WAYS: tuple[Way, ...] = (
    Way(
        "laid",
        (
            f"[wet out | wetted out] [and] {_LAID_BY}",
            "(got | have | has | gets | have got | has got) [all] ... (on | down)",
            "[all] (wet out | wetted out | down | glassed | covered | went down | went on)",
            "has [its]",
        ),
        ("plies", "material"),
    ),
    Way("laid", ("<layers_of>", "<cloth_layers>"), ("plies", "material", "part")),
    Way("laid", ("<peel_ply> [is] [on | down | applied]",), ("part",)),
    Way("laid", ("<peel_ply> [is] (on | down)",), (), alone=True),
    Way(
        "mixed",
        (
            "(mixed | mixing | stirred | stirring | made | poured | weighed out) [up]"
            " [(a | another) (cup | pot | batch)] [of]",
            "(new | fresh | another) (cup | pot | batch | mix) [of]",
            "(cup | pot | batch) of",
            "in the (cup | pot)",
            "<hardener>",
        ),
        ("mass",),
    ),
    Way(
        "bagged",
        (
            "[got | vacuum] (bagged | bagging) [up]",
            "[put | stuck | got | popped | stick | is | are] ... (in | into) (the | a) [vacuum] bag",
            "[put | got | is | are] ... under (vacuum | the bag | a bag | bag)",
            "[got | put] [the | a] [vacuum] bag [is] (on | sealed | sealed up | down)",
        ),
    ),
    Way(
        "vacuum",
        (
            "(vacuum | vac | gauge | pump | bag) [is | down | now]"
            " [at | to | reads | reading | says | shows | showing | holding | pulling | pulls | holds]",
            "(pulling | holding | pulled | seeing | reading | showing) [steady] [at]",
            "<told_gauge> [of] [vacuum | vac]",
        ),
        ("gauge",),
    ),
    Way(
        "bag_off",
        (
            "(debagged | unbagged | de bagged)",
            "[took | pulled | came | got | is] ... out of (the | its) bag",
            "[the] [vacuum] bag [is | came | now] off",
            f"{_REMOVED} ... bag ... (off | from)",
            f"{_REMOVED} (off | everything off) ... bag",
        ),
    ),
    Way(
        "peeled",
        (
            "peel ply [is | came | has come | now] off",
            f"{_REMOVED} [off] [the] peel ply [off | from]",
            "(peeled | peeling done)",
        ),
    ),
    Way("clamped", ("[got] (clamped | clamping) [up | down | to]", "clamps [are] on", "in [the] clamps")),
    Way(
        "bonded",
        (
            "[got] (bonded | bonding | glued | epoxied | floxed | stuck) [on | down | in | into | to | onto]",
            f"bonding [is] {_DONE}",
        ),
    ),
    Way(
        "cured",
        (
            "[post] cured",
            f"[post] cure [is | has] {_DONE}",
            "(had | gave | given) ... [post] cure",
            "(has gone | gone | went | is) (hard | off)",
        ),
    ),
    Way(
        "trimmed",
        (
            "[knife | razor | rough | edges] trimmed [up | back | off]",
            f"(trimming | trim) [is] {_DONE}",
            "cut ... (excess | overhang | flash | edge | edges) [off]",
        ),
    ),
    Way(
        "sanded",
        (
            "[rough | wet | dry | block | hand | all]"
            " (sanded | sanding | scuffed | blocked | keyed | abraded | roughed)"
            " [down | up | all over | back]",
            "(gave | given | giving) ... (sand | sanding | scuff | rub down)",
            f"sanding [is] {_DONE}",
        ),
    ),
    Way(
        "drilled",
        (
            "(drilled | drilling | bored | reamed) [out | the]",
            "(popped | put | made | opened up | opened) ... (hole | holes)",
        ),
    ),
    Way(
        "measured",
        (
            "(mic'd | miked | micced | micrometered) <thickness_meant>",
            "<as_thick>",
            "<quality> [check | is | reads | measures]",
        ),
        ("quality", "measure"),
    ),
    Way(
        "weighed",
        (
            "(weighed | weighs | weighing | weight | weigh) [in at | is | of]",
            "[put] ... (on | tips | onto) the (scale | scales)",
            "(scale | scales) (says | say | reads | read)",
            "(came | comes | come) (out | in) at",
        ),
        ("part", "mass"),
    ),
    Way("weighed", ("<place> [is] <mass>",), ("part", "mass")),
    Way(
        "mounted",
        (
            "(mounted | mounting | fitted | fitting | installed | bolted | screwed | attached | hung | rigged"
            " | riveted) [up | on | onto | to | in]",
            "(popped | put | got) ... (onto | on to)",
            "[all] [the] [both | all | two | three | four] <item> (is | are) on",
        ),
    ),
    Way(
        "checked",
        (
            "[double] (checked | inspected | examined | eyeballed)",
            "(tap tested | tap test done)",
            "[came by and] (signed off | passed)",
            "(had | took) a [good] look (at | over)",
            "looked (at | over)",
            "looked ... over",
            "(gave | given) ... once over",
            "(went | gone) over",
        ),
    ),
    Way(
        "shop_air",
        (
            "(temp | temperature | shop | workshop | garage | hangar) [is] [at | about] <temperature>"
            " ... (humidity | rh) [is] [at | about] <humidity>",
            "(temp | temperature | shop | workshop | garage | hangar) [is] [at | about] <temperature>",
            "(humidity | rh) [is] [at | about | up to | down to] <humidity>",
            "<temperature> ... in (here | the shop | the workshop | the garage | the hangar)",
        ),
        (),
        alone=True,
    ),
    Way(
        "started",
        (
            "(started | starting | start | begin | beginning | began | back) [on | work | work on]",
            "(making | made) a start [on]",
            "(getting | got) (started | going | stuck in) [on]",
        ),
    ),
    Way("started", ("(clocking | clocked) (on | in)", "(starting | starting work) now"), (), alone=True),
    Way(
        "stopped",
        (
            f"(knocking | knocked | clocking | clocked) (off | out) [{_FOR_NOW}]",
            f"(packing | packed | packing it | finishing | finished) (up | in) [{_FOR_NOW}]",
            "calling it (a day | a night | quits)",
            f"(that is it | that is me | i am | we are) (done | finished) [on | with] [{_FOR_NOW}]",
            f"that is (it | me | all) {_FOR_NOW}",
        ),
        (),
        alone=True,
    ),
    Way(
        "spent",
        (
            "(worked | working | spent | put in | logged | did | done | clocked)",
            "<span>",
            "<duration> of <category>",
            "<duration> in the (shop | workshop | garage | hangar)",
        ),
        ("duration",),
    ),
    Way("photo", ("(photo | picture | snap | pic | shot | photograph) [of]",)),
    Way(
        "to_do",
        (
            "(must | have to | have got to | got to | gotta | need to | still to | want to) [still | also]"
            " <action>",
            "(don't let me forget | don't forget | remember | remind me | note to self) [to] <action>",
        ),
    ),
)
