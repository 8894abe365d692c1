"""The intent language of `@mem` comments: grammar, clauses, and where a comment belongs."""
