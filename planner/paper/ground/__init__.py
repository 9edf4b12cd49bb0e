"""The ground that all papers stand on: a document as data, drawings in mm, and what writes them. Knows no build."""
