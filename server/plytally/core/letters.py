"""English letters to phones, by rules read from the most particular to the most general.

A rule is `before [letters] after = phones`: the letters in brackets sound so where what stands before and
after them fits. In the contexts V is a vowel letter, C a consonant, E one of e i y, _ the edge of the word;
brackets, | and ? mean what they do in regular expressions. The idea of such a table is that of H. S. Elovitz
et al., "Letter-to-sound rules for automatic translation of English text to phonetics" (IEEE Trans. ASSP 24,
1976); the rules here were written for this project. Long because a table of rules is.
"""

from __future__ import annotations

import re
from dataclasses import dataclass

_RULES = """
# a
_[a]_ = AH
_[aero] = EH R OW
_[air] = EH R
[augh] = AO
[au] = AO
[aw] = AO
[aigh] = EY
[ai]r = EH
[ai] = EY
[ay] = EY
_C?C?[ea]r(th|n|l) = ER
w[a]r = AO
(w|qu)[a](t|n|s|d|l) = AA
[a]rr = EH
[a]re_ = EH
[ar]_ = AA R
V.*[ar](d|ds)?_ = ER
[a]r = AA
[al]ly_ = AH
[a]l(k|l_) = AO
[a]lm = AA
[al]_ = AH L
[a]ble = EY
V.*[age]_ = IH JH
V.*[ate]_ = EY T
[a]Ce(s|d|r|rs)?_ = EY
[a]Cing = EY
[a](t|s)ion = EY
[a]C(ia|io|iu|ea|eo) = EY
[a]ste = EY
[a]nge = EY
[a]ck = AE
V.*[a](nt|nce|n|m|l)s?_ = AH
[a](CC|x) = AE
[a]C_ = AE
_C*[a]CV = EY
V.*[a]CV = AH
[a]_ = AH
[a] = AE
# b
m[b]_ = -
[bb] = B
[b] = B
# c
[ch](r|l) = K
[tch] = CH
[ch] = CH
s[c]E = -
[cc]E = K S
[ck] = K
[cqu] = K W
[cia]V?l? = SH AH
[ci](o|ou|en) = SH
[c]E = S
[cc] = K
[c] = K
# d
[dg]e = JH
[ddle]_ = D AH L
[dd] = D
[d]_ = D
[d] = D
# e
[eigh] = EY
[eau] = OW
[eer] = IH R
[ear](n|th|l|ch) = ER
[ear] = IH R
[ea]d(y|s|er)?_ = EH
[ea](th|lth|sure) = EH
[ea] = IY
[ee] = IY
[eu] = UW
(ch|j|l|r|s|t|d|n)[ew] = UW
[ew] = Y UW
[ei]l = EY
c[ei] = IY
[ei] = IY
[ey]_ = IY
[ey] = EY
[eo] = IY AH
[ere]_ = IH R
V.*C[er](ed|ing|V) = ER
[err] = EH R
[er]V = EH R
[er] = ER
(t|d)[ed]_ = AH D
(p|k|f|s|x|c|h|gh)[ed]_ = T
V.*[ed]_ = D
(s|x|z|ch|sh|ce|ge)[es]_ = AH Z
(c|g|s|z|x)[es]_ = AH Z
V.*(p|t|k|f)[es]_ = S
V.*[es]_ = Z
[e]ment_ = -
[e]ly_ = -
[e]ful = -
[e]less = -
V.*[el]_ = AH L
V.*[en]_ = AH N
_C*[e]_ = IY
V.*[e]_ = -
[e]Ce_ = IY
[e]C(ia|io|iu) = IY
_(b|d|r|pr)[e]C(V) = IH
_[e]C?V = IH
V.*[e]C*_ = AH
[e] = EH
# f
[ff] = F
[f] = F
# g
_[gn] = N
[gn]_ = N
i[gh] = -
[gh]t = -
(au|ou)[gh]_ = F
[gh] = G
[gg] = G
[ge]_ = JH
_[g](et|iv|ir|ear) = G
(n)[g]_ = -
[gu]E = G
[ge](on|ous) = JH
[g]E = JH
[g] = G
# h
_[h]our = -
V[h](C|_) = -
[h] = HH
# i
[igh] = AY
[ign]_ = AY N
[ique]_ = IY K
[ier]_ = IY ER
[ied]_ = IY D
[ies]_ = IY Z
[ie](f|ld|v|c|g) = IY
_C*[ie]_ = AY
[ie] = IY
[ind]_ = AY N D
[ild]_ = AY L D
[ire] = AY ER
[ir] = ER
(t|s|c)[ion] = AH N
[io]us = IY AH
[io] = IY AH
[ia] = IY AH
[iu] = IY AH
_C*[i]V = AY
[ing]_ = IH NG
[ing]s_ = IH NG
V.*[ine]_ = IY N
V.*[ive]_ = IH V
V.*[ite]_ = AY T
[i]Ce(s|d|r|rs)?_ = AY
_C*[i]Cing = AY
_(b|d|tr|h|m|qu|cl|v|n)[i](V|CC?[aou]) = AY
[i]_ = IY
[i] = IH
# j
[j] = JH
# k
_[kn] = N
[k] = K
# l
C[le]_ = AH L
C[le](s|d)_ = AH L
[ll] = L
[l](k|f|m)_ = L
[l] = L
# m
[mm] = M
_[mc]C = M AH K
[m] = M
# n
[nn] = N
[ng](le|er|u) = NG G
[ng]_ = NG
[ng](s|th|w|b|l|st) = NG
[ng]E = N JH
[ng] = NG G
[n](k|x|qu|c[aou]) = NG
[n] = N
# o
[ough]t = AO
[ough] = OW
[oar] = AO R
[oa] = OW
[oo](k|d_|t_) = UH
[oor] = AO R
[oo] = UW
[oul]d = UH
[ou](p|th_) = UW
[ous]_ = AH S
[our] = AO R
[ou] = AW
[ow](n|l|d|er|el) = AW
_C[ow]_ = AW
[ow] = OW
[oi] = OY
[oy] = OY
[oe]_ = OW
[o]st_ = OW
[old] = OW L D
[oll]_ = OW L
w[or] = ER
V.*[or]s?_ = ER
[or] = AO R
[ology] = AA L AH JH IY
V.*[o]n_ = AH
V.*[om]_ = AH M
c[o](m|n)C = AH
(w|s|n|fr|m)[o](n|ther|ve|me|nth) = AH
[o]Ce(s|d|r|rs)?_ = OW
[o]Cing = OW
[o](t|s)ion = OW
[o]C(ia|io|iu|eo) = OW
[o]_ = OW
[o]V = OW
_C*[o]CV = OW
V.*C[o]CV = AH
[o] = AA
# p
[ph] = F
_[ps] = S
_[pn] = N
[pp] = P
[p] = P
# q
[que]_ = K
[qu] = K W
[q] = K
# r
_[rh] = R
[rr] = R
[r] = R
# s
_[sch] = SH
[sch] = S K
[ssion] = SH AH N
V[sion] = ZH AH N
[sion] = SH AH N
V[sure] = ZH ER
[ssure] = SH ER
[sh] = SH
[sth]m = S
[ss] = S
[sc]E = S
V[s]m_ = Z
(p|t|k|f|c|q)[s]_ = S
(p|t|k|f)e[s]_ = S
(us|is|ous)[s]_ = S
(u|i)[s]_ = S
V[s]_ = Z
(b|d|g|l|m|n|r|v|w|y)[s]_ = Z
V[s](e|ing)_ = Z
[s] = S
# t
[tion] = SH AH N
[tial] = SH AH L
[tious] = SH AH S
[ture] = CH ER
_[th](e|is|at|ey|em|en|an|us)_ = DH
V[th]E = DH
[th] = TH
[tch] = CH
s[t](le|en)_ = -
[tt] = T
[t] = T
# u
[uy] = AY
[ui](t|s|c) = UW
[ue]_ = UW
_[uni](C|_) = Y UW N IY
_[un] = AH N
[ur]V = Y UH R
[ur] = ER
_[u]C(V) = Y UW
q[u] = W
g[u]V = W
(l|r|j|ch|s|t|d|n)[u]Ce?_?V = UW
[u]C(ia|io|iu|ou|a|o|i|u) = Y UW
[u]Ce(s|d|r|rs)?_ = Y UW
[u]ll_ = UH L
[u]_ = UW
[u]sh = UH
[u]V = UW
[u] = AH
# v
[v] = V
# w
_[wr] = R
_[who] = HH UW
[wh] = W
[w](C|_) = -
[w] = W
# x
_[x] = Z
e[x]V = G Z
[x] = K S
# y
_[y]V = Y
_C*[y]_ = AY
[y]Ce_ = AY
_C*[y]CV = AY
[y]_ = IY
V[y]V = Y
[y](C) = IH
[y] = IY
# z
[zz] = Z
[tz] = T S
[z] = Z
"""


@dataclass(frozen=True)
class _Rule:
    before: re.Pattern[str]
    letters: str
    after: re.Pattern[str]
    phones: tuple[str, ...]


_CLASSES = {"V": "[aeiouy]", "C": "[bcdfghjklmnpqrstvwxz]", "E": "[eiy]"}


def _pattern(context: str, edge: str) -> re.Pattern[str]:
    opened = "".join(_CLASSES.get(mark, mark) for mark in context)
    return re.compile(f"(?:{opened})$" if edge == "$" else f"(?:{opened})")


def _read(line: str) -> _Rule:
    left, right = line.split(" = ")
    before, rest = left.split("[", 1)
    letters, after = rest.split("]", 1)
    phones = tuple(phone for phone in right.split() if phone != "-")
    return _Rule(_pattern(before, "$"), letters, _pattern(after, ""), phones)


def _by_first_letter() -> dict[str, list[_Rule]]:
    """The rules that can apply at a letter, in the order of the table."""
    table: dict[str, list[_Rule]] = {}
    for line in _RULES.strip().splitlines():
        if not line.startswith("#"):
            rule = _read(line)
            table.setdefault(rule.letters[0], []).append(rule)
    return table


_TABLE = _by_first_letter()


def phones_of(word: str) -> tuple[str, ...]:
    """The phones of a word of the letters a to z; other marks are silent.

    >>> phones_of("chopper")
    ('CH', 'AA', 'P', 'ER')
    """
    padded = f"_{word.lower()}_"
    phones: list[str] = []
    at = 1
    while at < len(padded) - 1:
        rule = next((r for r in _TABLE.get(padded[at], ()) if _fits(r, padded, at)), None)
        phones += rule.phones if rule else ()
        at += len(rule.letters) if rule else 1
    return tuple(phones)


def _fits(rule: _Rule, padded: str, at: int) -> bool:
    end = at + len(rule.letters)
    if not padded.startswith(rule.letters, at) or rule.after.match(padded, end) is None:
        return False
    return rule.before.search(padded[:at]) is not None
