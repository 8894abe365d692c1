"""Rules about how well a memory's shape suits the blocks it takes."""
