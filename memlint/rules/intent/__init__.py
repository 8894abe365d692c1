"""Rules about the intent comments themselves, and about HDL that has moved away from them."""
