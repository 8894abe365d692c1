"""Rules about how much there is: device, budgets, data to hold."""
