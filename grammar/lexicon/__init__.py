"""The trade words as data (TOML), and what loads and checks them."""
