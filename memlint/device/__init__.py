"""Device profiles: what a device's memory tiers are, from TOML files."""
