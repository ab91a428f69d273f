"""What pictures are drawn with: marks and sheet, chain and sprockets, plots, and figures from the knowledge."""
