"""What differs between two judgements, and why: memories, blocks, findings."""
