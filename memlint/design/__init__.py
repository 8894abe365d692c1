"""Facts of all files → the elaborated design: constants, types, hierarchy, accesses, memories."""
