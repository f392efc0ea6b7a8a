"""Reports to PDF and CSV, and sheets of labels: clothes for rows composed elsewhere."""
