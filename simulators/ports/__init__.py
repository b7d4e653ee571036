"""Where the bytes come out: pseudo-terminals, a 1-Wire folder, the file of the day's clock."""
