"""People, places, the ledger, paper and the web shell. It has never heard of a tank."""
