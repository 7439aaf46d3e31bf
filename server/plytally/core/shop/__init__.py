"""Shop arithmetic: the sums that a builder does on paper at the bench, one file a subject.

Pure like the rest of core: amounts with their units go in, answers come out as `Worked`, each with its
formula, what it was worked from, the source and the caution. Figures that nobody published are the
builder's to give. The tool advises; plans, kit manual and inspector decide.
"""
