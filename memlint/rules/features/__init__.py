"""Rules about contents, write lanes, ECC, FIFO logic and port widths."""
