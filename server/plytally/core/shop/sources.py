"""Where formulas and figures come from, as printed: title, edition, page or table."""

from __future__ import annotations

AC43 = "FAA AC 43.13-1B (1998)"
ARMY = "US Army TM 1-1500-204-23-11, Advanced Composites"
ARMY_CRAFT = "US Army TM 55-1905-223-SDC"
ATMOSPHERE = "US Standard Atmosphere 1976"
DA20 = "DA20-C1 aeroplane maintenance manual 51-00-00, p.10"
INFUSION = "a case study of infusion drop tests"
LECTURE = "lecture slides on fibre volume"
NIST = "NIST SP 811 (2008) Appendix B.8"
RESIN_MAKER = "a resin maker's manual"
STRAIGHT = "ISO 1101, minimum condition"
THEORY = "notes on the theory of composites"
WARM = "a resin maker's article, Warm Temperature Bonding"

OURS = "our arithmetic"
TRADE = "common practice, no source"
MEMORY = "from memory"
