"""The phrasebook's table, second part: commands and questions; see sayings.py for how a row is written."""

from __future__ import annotations

COMMANDS: dict[str, tuple[str, ...]] = {
    "scratch": (
        "[no {typed}] scratch that",
        "scratch that one",
        "strike that",
        "[no {typed}] (undo | delete | cancel) that [one] {typed}",
        "([no | oops | sorry | oh no]"
        " (scratch | undo | delete | cancel | forget | bin | drop | remove | ignore | get rid of)"
        " (that | it | the last one | that one | that last one | the last entry | that entry)"
        " [wrong | please | it is wrong]) {typed}",
    ),
    "make_it": (
        "[no {typed}] make it <new_value>",
        "[no {typed}] make that <new_value>",
        "change (it | that {typed}) to <new_value>",
        "(no it is <new_value>) {typed}",
        "([no | sorry | oops | actually] (make | change | correct) (it | that) [to] [the]"
        " <new_value> [one | side] [please]) {typed}",
        "((no | sorry | actually | oops | wait)"
        " [it was | it is | that was | that is | i meant | i mean] [the] <new_value> [one | side]) {typed}",
        "([it | that] (should be | should have been) [the] <new_value> [one | side]) {typed}",
    ),
    "confirm": (
        "confirm",
        "that is right",
        "yes that is right",
        "that's right",
        "(that is correct | yes | correct) {typed}",
        "([yes | yep | yeah | yup | aye] that is (right | correct | it | fine | good) [correct]) {typed}",
        "(yep | yeah | yup | right you are | spot on | all correct) {typed}",
    ),
    "read_back": (
        "read it back",
        "read that back",
        "say it again",
        "(read that to me again | repeat that) {typed}",
        "(what (did | have) (i | you) [just]"
        " (say | said | hear | heard | got | got down | written | put down)) {typed}",
        "(say again | come again | read [me] (that | it) [back] [to me] [again]) {typed}",
    ),
    "new_photo": ("new photo", "take a photo", "another photo", "take a picture {typed}"),
    "stop_timer": (
        "stop the [<timer>] timer",
        "[the] <timer> timer off",
        "timer off",
        "((cancel | end) the [<timer>] timer) {typed}",
    ),
    "snooze": (
        "snooze [the <timer> timer] [for] [<duration>]",
        "snooze it",
        "(call | remind) me again [in <duration>]",
    ),
}

QUESTIONS: dict[str, tuple[str, ...]] = {
    "left_off": (
        "where did i (leave off | stop) [yesterday {typed}] [<on> <place>]",
        "where (was | am {typed}) i [<on> <place>]",
        "what did i do last [<on> <place>]",
        "what was (i doing | the last thing i did) [<on> <place>] {typed}",
    ),
    "owed": (
        "what is [still] owed [<on> <place>]",
        "what's [still] (owed | left) [<on> <place>]",
        "what do i still (owe | need) [<on> <place>]",
        "how many plies (are [still] owed | do i still need) [<on> <place>]",
        "what's left to do [<on> <place>]",
        "what is [still] left [to do] [<on> <place>] {typed}",
        "how many [more] plies (are [still] (owed | left) | do i [still] need) [<on> <place>] {typed}",
        "what [still] needs (doing | to be done) [<on> <place>] {typed}",
    ),
    "have_laid": (
        "have i [already] laid <layers> [of] <material> <on> <place> [yet {typed}]",
        "have i [already] laid [the] <material> <on> <place> [yet {typed}]",
        "did i [already] lay <layers> [of] <material> <on> <place> [yet {typed}]",
        "is the <material> laid <on> <place>",
    ),
    "cup_age": (
        "how long has the cup been mixed",
        "how old is the cup",
        "how long since i mixed [the cup]",
        "how old is (the | this) (cup | resin | epoxy | mix) {typed}",
        "how long has it been since i mixed [the cup] {typed}",
    ),
    "next": (
        "(what is next [<on> <place>]) {typed}",
        "(what comes next [<on> <place>]) {typed}",
        "(what can i do next [<on> <place>]) {typed}",
    ),
    "snags": (
        "(what is wrong (on | with) <place>) {typed}",
        "(what snags are there [<on> <place>]) {typed}",
        "(are there [any] snags [<on> <place>]) {typed}",
    ),
    "hours_worked": (
        "(how many hours [have i worked] [<on> <place>]) {typed}",
        "(how long have i worked [<on> <place>]) {typed}",
        "(how many hours are on <place>) {typed}",
    ),
    "clocks": (
        "(what | which) (clocks | timers) are running",
        "how (long | much time) is left [on the <timer> timer]",
        "what is running",
    ),
    "last_vacuum": (
        "what vacuum did i last read [<on> <place>]",
        "what was the last vacuum [reading] [<on> <place>]",
        "last vacuum reading [<on> <place>]",
        "what was the vacuum [last time] [<on> <place>] {typed}",
    ),
}
