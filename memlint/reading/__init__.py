"""From the text of one file to the facts of that file; pure, so cacheable by content."""
