"""The phrasebook's table, first part: for each kind of entry the ways of saying it.

Each row is a phrase in JSGF expansion syntax. `<on>`, `<place>`, `<plies>` and the rest are the slots of
`slots.py`, filled from the builder's vocabulary, so that no part or material is named here. `<rest>`
takes all words to the end: only typed or freely heard words can fill it, a grammar cannot listen for it.
What is marked `{typed}` is understood and not listened for by a grammar.

Contractions are written out here ("that is"); `understand` opens them. Those that a grammar listens for
stand beside ("that is | that's").
"""

from __future__ import annotations

_DOING = {
    "bagged": "bagging",
    "clamped": "clamping",
    "bonded": "bonding",
    "cured": "curing",
    "trimmed": "trimming",
    "sanded": "sanding",
    "drilled": "drilling",
    "weighed": "weighing",
    "mounted": "mounting",
    "checked": "checking",
}


def _forms(kind: str, rows: tuple[str, ...]) -> tuple[str, ...]:
    """The rows, and the same work told by its verb's other form: "done sanding …", "sanding is done on …"."""
    if kind not in _DOING:
        return rows
    doing = _DOING[kind]
    told = (
        f"((i am | finished | done | done with) {doing} <place>)",
        f"({doing} <is> (done | finished | complete) on <place>)",
        f"(<i> (finished | completed) {doing} <place>)",
    )
    return (*rows, *(f"{each} {{typed}}" for each in told))


_ENTRIES: dict[str, tuple[str, ...]] = {
    "laid": (
        "[<i>] <laid> <layers> [of] <material> [<orientation>] <on> <place> [<cloth_batch>]",
        "([<i>] <laid> <layers> [of] <material> <on> <place> <orientation> [<cloth_batch>]) {typed}",
        "([<i>] <laid> <layers> [of] <material> [<orientation>] <cloth_batch> <on> <place>) {typed}",
        "[<i>] <laid> <layers> [of] <material> [<orientation>] [<cloth_batch>]",
        "[<that_is>] <counted_layers> of <material> [<orientation>] [laid | down] <on> <place>",
        "([<that_is>] <layers> [of] <material> [<orientation>] [<cloth_batch>] [laid | down | went] <on>"
        " <place>) {typed}",
        "<place> (has | (got | gets | has got | now has) {typed}) <layers> [of] <material> [<orientation>]",
        "<place> <counted_layers> [of] <material> [<orientation>]",
        "<on> <place> <i> <laid> <layers> [of] <material> [<orientation>]",
        "((finished | done) (laying | with) <layers> [of] <material> [<orientation>] <on> <place>) {typed}",
        "([<i>] (glassed | covered) <place> with <layers> [of] <material> [<orientation>]) {typed}",
    ),
    "mixed": (
        "[<i>] <mixed> <mass> [of] [<resin>] [at] <ratio> [<resin_batch>]",
        "[<i>] <mixed> <mass> [of] [<resin>] [<resin_batch>]",
        "<new_cup> [of] <mass> [of] [<resin>] [at] [<ratio>] [<resin_batch>]",
        "(<new_cup> of <resin> <mass> [at] [<ratio>] [<resin_batch>]) {typed}",
        "[<i>] mixed <resin> <mass> [at] [<ratio>] [<resin_batch>]",
    ),
    "bagged": (
        "[<i>] (bagged [up {typed}] | bagging {typed}) <place>",
        "[the] [vacuum {typed}] bag [is] on <place>",
        "<place> <is> bagged",
        "<place> is in the bag",
        "(<place> is under (the bag | a bag | vacuum)) {typed}",
    ),
    "vacuum": (
        "vacuum [is | (reads | reading | is reading | gauge reads) {typed}] [at] <gauge> [<on> <place>]",
        "[the] gauge (reads | is at | shows | says) <gauge> [<on> <place>]",
        "[(it | the pump | the bag) is {typed}] (pulling | holding) <gauge> [<on> <place>]",
        "vacuum <on> <place> [is] <gauge>",
        "(we have | i have | (we are at | i am at) {typed}) <gauge> [of vacuum] [<on> <place>]",
        "([we are | i am] reading <gauge> [of vacuum] [on the gauge] [<on> <place>]) {typed}",
    ),
    "bag_off": (
        "[the {typed}] bag [is] off <place>",
        "[<i>] (took | pulled) the [vacuum {typed}] bag off <place>",
        "<place> is out of the bag",
        "bag came off <place>",
        "([<i>] (removed | took) the [vacuum] bag from <place>) {typed}",
    ),
    "clamped": (
        "[<i>] (clamped | clamping {typed}) [the] <item> (on | to) <place>",
        "[<i>] (clamped [up {typed}] | clamping {typed}) <place>",
        "<place> <is> clamped",
        "[the] <item> <is> clamped [in place {typed}] (on | to) <place>",
    ),
    "bonded": (
        "[<i>] (bonded | glued | bonding {typed}) [the] <item> <onto> <place>",
        "[<i>] (bonded | glued | bonding {typed}) <place> [on {typed}]",
        "<place> <is> bonded",
        "[the] <item> <is> bonded <onto> <place>",
    ),
    "cured": (
        "<place> <is> cured",
        "<place> [has {typed}] cured [for] <duration> [at <temperature>]",
        "[post {typed}] cured <place> [for <duration>] [at <temperature>]",
        "cure [is] finished on <place>",
        "(<place> [has] cured overnight) {typed}",
    ),
    "peeled": (
        "[<i>] (pulled | took | removed {typed}) [the] peel ply (off | from) <place>",
        "[the {typed}] peel ply [is] off <place>",
        "[<i>] removed [the] peel ply from <place>",
        "[<i>] peeled <place>",
    ),
    "trimmed": (
        "[<i>] trimmed [up {typed}] [the edges of {typed}] <place>",
        "<place> <is> trimmed",
        "trimming [is] done on <place>",
    ),
    "sanded": (
        "[<i>] (sanded [down] | (sanding | scuffed) {typed}) <place>",
        "[<i>] (sanded [down] | (sanding | scuffed | hit) {typed}) <place> (with | to | at) <grit>",
        "<place> <is> sanded [(with | to) <grit>]",
        "sanding [is] done on <place>",
    ),
    "drilled": (
        "[<i>] (drilled | (put | made) {typed}) <holes> (hole | holes) (in | on) <place>",
        "[<i>] (drilled | (put | made) {typed}) <holes> <drill> (hole | holes) (in | on) <place>",
        "[<i>] drilled <place> [with a <drill> [drill]]",
        "<place> <is> drilled",
    ),
    "measured": (
        "[the] <quality> <measures> <measure> (at | on) <place>",
        "[<i>] measured [the {typed}] <quality> [(at | of) {typed}] <measure> (at | on) <place>",
        "[the] <quality> (at | on) <place> (is | measures {typed}) <measure>",
        "[<i>] measured <measure> <quality> (at | on) <place>",
        "(i (get | have | see) a <quality> of <measure> (at | on) <place>) {typed}",
        "(<place> (is | measures) <measure> <as_thick>) {typed}",
        "([the] <quality> of <place> (is | measures) <measure>) {typed}",
    ),
    "weighed": (
        "<place> (weighs [in at] | (came in at | comes in at) {typed}) <mass>",
        "[<i>] weighed <place> [at | (it is | and it is) {typed}] <mass>",
        "[the {typed}] weight of <place> is <mass>",
    ),
    "mounted": (
        "[<i>] <mounted> [the] <item> <onto> <place>",
        "[the] <item> <is> (mounted | fitted) <onto> <place>",
        "[<i>] (mounted | fitted) <place>",
    ),
    "checked": (
        "[<i>] (checked | inspected) <place>",
        "<place> [was | (has been | is) {typed}] checked by <by>",
        "<by> (checked | (inspected | signed off) {typed}) <place>",
        "<place> <is> checked",
    ),
    "shop_air": (
        "[the] shop [is] [at] <temperature> [and] [<humidity>] [humidity]",
        "shop air <temperature> [and] [<humidity>]",
        "humidity [is] [at {typed}] <humidity>",
        "[the] [(air | shop) {typed}] temperature [is] <temperature>",
        "([the] [air | shop] temperature [is] <temperature> [and] humidity [is] <humidity>) {typed}",
        "it's <temperature> in the shop",
        "(it is <temperature> [and] [<humidity>] [humidity] [in (here | the shop)]) {typed}",
        "(<temperature> and <humidity> [humidity] [in (here | the shop)]) {typed}",
    ),
    "started": (
        "[i am {typed}] (started | starting | beginning {typed}) <category> [<on> <place>]",
        "[i am {typed}] (started | starting | beginning {typed}) work <on> <place>",
        "[i am {typed}] (started | starting | beginning {typed}) work",
        "(started | starting) on <place>",
        "([i am] (started | starting) [<category>] [on] <place>) {typed}",
    ),
    "stopped": (
        "(stopped | stopping | finished | done with {typed}) <category> [<on> <place>]",
        "(stopped | stopping | finished) work [<on> <place>]",
        "done for (today | the day {typed})",
        "that's it for (today | the day)",
        "(that is it | (i am | we are) done | stopping | finished) for (today | the day) {typed}",
    ),
    "spent": (
        "([<i>] worked <duration> [of] [<category>] [<on> <place>]) {typed}",
        "([<i>] (spent | put in) <duration> [<category>] [<on> <place>]) {typed}",
        "(<duration> of <category> [<on> <place>]) {typed}",
    ),
    "photo": (
        "[(here is | take) a {typed}] (photo | picture) of <place>",
        "[here is a {typed}] (photo | picture) of [the] [clamped | mounted | bonded] <item> [on <place>]",
        "this is a (photo | picture) of <place>",
    ),
    "clock": (
        "[start] [the] <timer> timer [for] <duration> [<on> <place>]",
        "start [the] <timer> timer",
        "(start | set) a timer [for] <duration>",
        "<timer> <when> [<on> <place>]",
        "(call | remind) me <when>",
        "(call | remind) me <when> to <rest>",
        "(<timer> [<on>] <place> <when>) {typed}",
        "(set the <timer> timer (to | for) <duration>) {typed}",
        "(start [the] <timer> timer <on> <place>) {typed}",
        "((start | set) a timer [for] <duration> <on> <place>) {typed}",
        "((call | remind) me <when> <on> <place>) {typed}",
        "((give me a (shout | call | nudge | ping) | (shout | ping | nudge | wake) me) <when>) {typed}",
        "((timer | alarm) [for] <duration>) {typed}",
        "(<timer> <duration> [start the timer]) {typed}",
    ),
    "note": (
        "[make a] note that <rest>",
        "note <rest>",
        "for the record <rest>",
    ),
    "worked": (
        "[i] worked out [that] <rest>",
        "[i] reckoned [that] <rest>",
        "by my sums <rest>",
    ),
    "to_do": (
        "to do <action> <place>",
        "[i] still need to <action> <place>",
        "i need to <action> <place>",
        "remember to <action> <place>",
        "((i have | i have got | remind me | don't forget | need) to <action> <place>) {typed}",
        "(next time <action> <place>) {typed}",
        "(to do | remember to | i still need to) <rest>",
    ),
    "to_answer": (
        "[(i | we) (need to | want to) {typed}] [need to {typed}] ask <by> about <place>",
        "question for <by> about <place>",
        "[(i have | we have) a {typed}] question about <place>",
        "(ask | question for) <by> <rest>",
    ),
}

ENTRIES = {kind: _forms(kind, rows) for kind, rows in _ENTRIES.items()}
