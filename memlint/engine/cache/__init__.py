"""Outcomes of whole runs, kept on disk by the content of everything they were made from.

A run on the command line is a function of its arguments, a few facts about the terminal, memlint itself,
and what it read. The first three make the key; the last is in the entry, and an entry counts only while
every file, folder and variable it names is as it was. What is kept is what the run printed: nothing in an
entry is ever executed, and a warm run needs neither lark nor the engine.

`packing` is the encoding, `store` the files, `witness` notes what a run reads, `outcome` is an entry.
These modules import nothing heavy, on purpose.
"""
